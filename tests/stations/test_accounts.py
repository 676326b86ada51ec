"""Signing in and out, being locked out, and a forgotten password."""

import re

import pytest
from django.contrib.auth.models import User
from django.core import mail
from django.test import Client
from django.urls import reverse

from tests.stations.conftest import PASSWORD

SIGN_IN = {"username": "kay", "password": PASSWORD}


@pytest.fixture
def kay(homes, keeper) -> Client:
    """Kay, not signed in yet."""
    return Client()


def test_signing_in_leads_to_my_stations_and_signing_out_to_the_village(kay):
    assert kay.post(reverse("sign-in"), SIGN_IN).headers["Location"] == reverse("my-stations")
    assert kay.post(reverse("sign-out")).headers["Location"] == reverse("front")
    assert kay.get(reverse("my-stations")).status_code == 302


def test_a_wrong_password_is_told_in_a_sentence(kay):
    page = kay.post(reverse("sign-in"), SIGN_IN | {"password": "wrong"})
    assert b"do not belong together" in page.content


def test_after_eight_wrong_passwords_the_name_is_locked_even_for_the_right_one(kay):
    for _ in range(8):
        page = kay.post(reverse("sign-in"), SIGN_IN | {"password": "wrong"})
    assert page.status_code == 429
    assert b"quarter of an hour" in page.content
    assert kay.post(reverse("sign-in"), SIGN_IN).status_code == 429
    assert Client().post(reverse("sign-in"), {"username": "other", "password": "x"}).status_code == 200


def test_a_forgotten_password_is_replaced_by_a_link_that_works_once(kay, settings):
    kay.post(reverse("password-forgotten"), {"email": "kay@example.org"})
    address = re.search(rf"{re.escape(settings.SITE_URL)}(/\S+)", mail.outbox[0].body)[1]
    form = kay.get(address, follow=True).request["PATH_INFO"]
    new = {"new_password1": "four quite new words", "new_password2": "four quite new words"}
    assert kay.post(form, new).headers["Location"] == reverse("sign-in")
    assert User.objects.get(username="kay").check_password("four quite new words")
    assert b"has been used" in Client().get(address, follow=True).content


def test_who_writes_no_address_is_told_to(kay):
    page = kay.post(reverse("password-forgotten"), {"email": ""})
    assert b"Write an address here" in page.content


def test_an_address_nobody_has_gets_the_same_answer_and_no_mail(kay):
    page = kay.post(reverse("password-forgotten"), {"email": "nobody@example.org"}, follow=True)
    assert b"If an account has that address" in page.content
    assert not mail.outbox


def test_the_password_can_be_changed_by_who_knows_it(keeper):
    new = {"old_password": PASSWORD, "new_password1": "four quite new words"}
    keeper.post(reverse("password"), new | {"new_password2": "four quite new words"})
    assert User.objects.get(username="kay").check_password("four quite new words")
