"""The head of every page: where each reader may go."""

import pytest
from django.contrib.auth.models import User
from django.template.loader import render_to_string
from django.test import Client

from stations.models import Household, Membership
from tests.network.made_village import found_village

PAGE = "/little-aldenbrook/"


@pytest.fixture
def household(db) -> Household:
    return Household.objects.create(village=found_village(), name="Mill")


def reader(household: Household, role: str) -> Client:
    person = User.objects.create_user("kay")
    Membership.objects.create(household=household, person=person, role=role)
    client = Client()
    client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    return client


def test_a_villager_is_offered_to_sign_in(household, client):
    page = client.get(PAGE).content.decode()
    assert "/sign-in/" in page
    assert "/desk/" not in page and "/my/" not in page


def test_a_keeper_finds_their_stations_and_no_desk(household):
    page = reader(household, Membership.Role.KEEPER).get(PAGE).content.decode()
    assert 'href="/my/"' in page
    assert "/desk/" not in page


def test_a_steward_finds_the_desk(household):
    page = reader(household, Membership.Role.STEWARD).get(PAGE).content.decode()
    assert 'href="/little-aldenbrook/desk/"' in page


def test_signing_out_takes_a_form_and_not_a_link(household):
    page = reader(household, Membership.Role.KEEPER).get(PAGE).content.decode()
    assert '<form method="post" action="/sign-out/">' in page


def test_the_page_for_a_failure_can_be_made_from_nothing():
    assert "Something went wrong here" in render_to_string("500.html")
