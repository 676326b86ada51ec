"""The keeper's answer: who may give one, what it may say, and whom it reaches."""

from datetime import timedelta

import pytest
from django.contrib.auth.models import User
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from network.models import Answer, Case, Decision, Notice
from network.pipeline.tasks import tell
from network.pipeline.verbs import decisions
from stations.models import Station
from tests.network.web.test_desk import doubted, page
from tests.network.web.test_desk import keeper as keeper
from tests.network.web.test_desk import mill as mill
from tests.network.web.test_desk import steward as steward
from tests.network.web.test_desk import stranger as stranger
from tests.network.web.test_desk import village as village

QUESTION = "Was the shield taken off?"


@pytest.fixture
def case(village, mill) -> Case:
    return doubted(mill)


@pytest.fixture
def asked(steward, case) -> Decision:
    return decisions.settle(case, Decision.Kind.ASK, User.objects.get(username="stella"), QUESTION)


def answer(client: Client, asked: Decision, **said: str):
    return client.post(reverse("answer", args=[asked.pk]), {"said": "nothing"} | said)


def test_the_notice_leads_to_the_question_with_what_the_checks_saw(keeper, asked):
    assert reverse("answer", args=[asked.pk]) in page(keeper, "notices")
    words = page(keeper, "answer", asked.pk)
    assert QUESTION in words
    assert "read 41.2 °C" in words
    assert "Your answer changes no reading." in words


def test_the_e_mail_says_where_to_answer(keeper, asked, settings):
    tell()
    letter = next(one for one in mail.outbox if QUESTION in one.body)
    assert letter.to == ["kay@example.org"]
    assert settings.SITE_URL + reverse("answer", args=[asked.pk]) in letter.body


@pytest.mark.parametrize("who", ["stranger", "neighbour", "superuser"])
def test_for_anybody_else_there_is_no_such_page(village, asked, request, who):
    if who == "superuser":
        client = Client()
        client.force_login(User.objects.create_superuser("root"))
    elif who == "neighbour":
        client = Client()
        client.force_login(User.objects.create_user("nils"))
    else:
        client = request.getfixturevalue(who)
    assert client.get(reverse("answer", args=[asked.pk])).status_code == 404
    assert answer(client, asked).status_code == 404
    assert not Answer.objects.exists()


def test_a_visitor_is_asked_to_sign_in(asked):
    assert Client().get(reverse("answer", args=[asked.pk])).url.startswith(reverse("sign-in"))


def test_another_kind_of_decision_is_no_question(keeper, steward, case):
    kept = decisions.settle(case, Decision.Kind.KEEP, User.objects.get(username="stella"))
    assert keeper.get(reverse("answer", args=[kept.pk])).status_code == 404


def test_an_answer_stands_on_the_sheet_the_desk_and_the_trail_until_a_decision_follows(
    keeper, steward, village, asked, case
):
    assert (
        answer(keeper, asked, said="changed", changed_on="2026-03-26", words="I cleaned it.").status_code
        == 302
    )
    said = "Something was moved or changed on 26 March 2026. “I cleaned it.”"
    assert f"kay answered: {said}" in page(keeper, "answer", asked.pk)
    sheet = page(steward, "case", village.slug, case.pk)
    assert said in sheet
    assert "Nothing has been decided since." in sheet
    desk = page(steward, "desk", village.slug)
    assert "1 answer from keepers." in desk
    assert "and has answered" in desk
    decisions.settle(case, Decision.Kind.KEEP, User.objects.get(username="stella"))
    assert "Keepers have answered" not in page(steward, "desk", village.slug)
    assert said in page(steward, "trail", village.slug)
    assert "Nothing has been decided since." not in page(steward, "case", village.slug, case.pk)


def test_an_answer_wakes_a_case_that_has_left_the_list_by_its_age(keeper, steward, village, asked, case):
    answer(keeper, asked)
    long_ago = case.begins_at - 30 * 86400
    Case.objects.filter(pk=case.pk).update(begins_at=long_ago, ends_at=long_ago + 3600)
    desk = page(steward, "desk", village.slug)
    assert "Keepers have answered" in desk
    assert reverse("case", args=[village.slug, case.pk]) in desk


def test_the_answer_is_on_the_desk_also_when_its_case_is_gone(keeper, steward, village, asked, case):
    case.delete()
    assert "Nothing of it is in doubt any more." in page(keeper, "answer", asked.pk)
    answer(keeper, asked, said="unknown")
    desk = page(steward, "desk", village.slug)
    assert "I do not know." in desk
    assert "Nothing of it is in doubt any more." in desk


def test_the_stewards_are_told_once_by_e_mail(keeper, asked, village, case, settings):
    answer(keeper, asked, words="It hung in the shed.")
    tell()
    tell()
    told = [one for one in mail.outbox if one.to == ["stella@example.org"]]
    assert len(told) == 1
    assert "It hung in the shed." in told[0].body
    assert settings.SITE_URL + reverse("case", args=[village.slug, case.pk]) in told[0].body


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ({"said": ""}, "Choose one."),
        ({"said": "maybe"}, "Choose one of those listed."),
        ({"said": "changed"}, "Say on which day it was moved or changed."),
        ({"said": "changed", "changed_on": "2999-01-01"}, "That day is still to come."),
        ({"said": "changed", "changed_on": "last week"}, "Write the day as 2026-11-25."),
        ({"said": "other"}, "Say in a sentence what it was."),
        ({"said": "nothing", "words": "x" * 301}, "Say it in 300 characters, please."),
    ],
)
def test_what_is_missing_is_said_in_a_sentence(keeper, asked, said, says):
    refused = answer(keeper, asked, **said)
    assert refused.status_code == 400
    assert says in refused.content.decode()
    assert not Answer.objects.exists()


def test_a_day_given_beside_another_choice_is_not_kept(keeper, asked):
    answer(keeper, asked, said="nothing", changed_on="2026-03-26")
    assert Answer.objects.get().changed_on is None


def test_a_second_thought_is_a_second_answer(keeper, asked):
    answer(keeper, asked)
    answer(keeper, asked, said="other", words="A branch hung over it.")
    words = page(keeper, "answer", asked.pk)
    assert "Nothing was moved or changed." in words
    assert "kay answered: “A branch hung over it.”" in words


def test_a_question_that_was_taken_back_is_not_answered_any_more(keeper, asked):
    decisions.undo(asked, User.objects.get(username="stella"))
    assert "has taken this question back" in page(keeper, "answer", asked.pk)
    assert answer(keeper, asked).status_code == 400
    assert not Answer.objects.exists()


def test_answering_reads_the_notice_and_leads_on_to_the_metadata_where_something_moved(keeper, asked, mill):
    answer(keeper, asked, said="changed", changed_on="2026-03-26")
    assert Notice.objects.get(question=asked).read_at is not None
    assert reverse("register-place", args=[mill.pk]) in page(keeper, "answer", asked.pk)
    assert "Your answer" in page(keeper, "notices")


def test_an_answer_leaves_the_desk_after_a_month(keeper, steward, village, asked):
    answer(keeper, asked)
    Answer.objects.update(made_at=timezone.now() - timedelta(days=31))
    assert "Keepers have answered" not in page(steward, "desk", village.slug)
    assert Station.objects.exists()
