"""The keeper's notices: their own, newest first, and read when they say so."""

from django.test import Client
from django.urls import reverse

from network.models import Notice
from network.pipeline.telling.notices import tell
from stations.models import Station
from tests.network.web.test_desk import keeper as keeper
from tests.network.web.test_desk import mill as mill
from tests.network.web.test_desk import page
from tests.network.web.test_desk import steward as steward
from tests.network.web.test_desk import village as village


def test_a_keeper_reads_about_their_own_stations_only(keeper, mill):
    tell(mill, "a", "The funnel may be full of leaves.")
    tell(Station.objects.get(name="Brook"), "b", "The brook is up.")
    words = page(keeper, "notices")
    assert "1 notice you have not read." in words
    assert "The funnel may be full of leaves." in words
    assert "The brook is up." not in words


def test_a_notice_is_read_when_its_keeper_says_so_and_by_nobody_else(keeper, steward, mill):
    tell(mill, "a", "Look.")
    tell(mill, "b", "Look again.")
    first = Notice.objects.get(cause="a")
    steward.post(reverse("notices-read"), {"notice": first.pk})
    assert Notice.objects.filter(read_at=None).count() == 2
    keeper.post(reverse("notices-read"), {"notice": first.pk})
    assert Notice.objects.get(read_at=None).cause == "b"
    keeper.post(reverse("notices-read"))
    assert not Notice.objects.filter(read_at=None).exists()
    assert "You have read them all." in page(keeper, "notices")


def test_without_notices_the_page_says_what_will_stand_there(keeper):
    assert "Nothing has been said about your stations yet." in page(keeper, "notices")


def test_a_visitor_is_asked_to_sign_in(db):
    answer = Client().get(reverse("notices"))
    assert answer.status_code == 302
    assert answer.url.startswith(reverse("sign-in"))
