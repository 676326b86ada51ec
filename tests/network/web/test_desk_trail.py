"""The audit trail: who, when, why, what was undone, and by station."""

from django.contrib.auth.models import User
from django.urls import reverse

from network.models import Decision
from network.pipeline.verbs import decisions
from stations.models import Station
from tests.network.web.test_desk import doubted, page
from tests.network.web.test_desk import mill as mill
from tests.network.web.test_desk import steward as steward
from tests.network.web.test_desk import stranger as stranger
from tests.network.web.test_desk import village as village

Kind = Decision.Kind


def decided(station: Station, **fields: object) -> Decision:
    by = User.objects.get(username="stella")
    return decisions.settle(doubted(station), Kind.KEEP, by, **fields)


def test_the_trail_says_who_decided_what_about_which_span_and_why(steward, village, mill):
    decided(mill, reason="The sun stood on it.")
    words = page(steward, "trail", village.slug)
    assert "air temperature: the verdict stands" in words
    assert "The sun stood on it." in words
    assert "By stella" in words
    assert "about 27 Mar 12:00 to 27 Mar 13:00" in words  # village time


def test_what_was_undone_stays_and_says_by_whom(steward, village, mill):
    decision = decided(mill)
    steward.post(reverse("undo", args=[village.slug, decision.pk]))
    words = page(steward, "trail", village.slug)
    assert "the verdict stands" in words
    assert "<strong>Undone</strong> by stella" in words
    assert reverse("undo", args=[village.slug, decision.pk]) not in words
    again = steward.post(reverse("undo", args=[village.slug, decision.pk]), follow=True)
    assert "This decision has been undone already." in again.content.decode()


def test_the_trail_can_be_read_by_station(steward, village, mill):
    brook = Station.objects.get(name="Brook")
    decided(mill, reason="About the mill.")
    decided(brook, reason="About the brook.")
    words = page(steward, "trail", village.slug, station=brook.pk)
    assert "About the brook." in words
    assert "About the mill." not in words


def test_a_decision_cannot_be_undone_through_another_village(steward, stranger, mill):
    decision = decided(mill)
    assert stranger.post(reverse("undo", args=["farwick", decision.pk])).status_code == 404
    decision.refresh_from_db()
    assert decision.undone_at is None


def test_undoing_takes_a_post(steward, village, mill):
    assert steward.get(reverse("undo", args=[village.slug, decided(mill).pk])).status_code == 405
