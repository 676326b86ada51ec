"""The limits answer with the right status and a sentence that says what to change."""

from network.wire.limits import (
    MOST_BYTES,
    MOST_READINGS,
    Refusal,
    absurd_time,
    malformed,
    too_large,
    too_many,
)
from network.wire.message import Message, NotUnderstood, Said

NOW = 1_780_315_200


def at(*times: int) -> Message:
    return Message([Said("temp", 21.4, "", time) for time in times], clockless=False, refused=[])


def test_what_is_within_the_limits_is_not_refused():
    assert too_large(MOST_BYTES) is None
    assert too_many(at(*[NOW] * MOST_READINGS)) is None
    assert absurd_time(at(NOW, NOW + 600, 946_684_800), NOW) is None
    assert absurd_time(at(), NOW) is None


def test_a_report_too_large_is_told_to_come_in_parts():
    assert too_large(MOST_BYTES + 1) == Refusal(
        413, "This report has 1000001 bytes; 1000000 is the most.", "Send it in parts."
    )
    assert too_many(at(*[NOW] * (MOST_READINGS + 1))) == Refusal(
        413, "This report has 10001 readings; 10000 is the most.", "Send it in parts."
    )


def test_a_clock_that_was_never_set_or_runs_ahead_is_named():
    never_set, ahead = absurd_time(at(NOW, 946_684_799), NOW), absurd_time(at(NOW + 3600), NOW)
    assert never_set is not None
    assert ahead is not None
    assert (never_set.status, ahead.status) == (422, 422)
    assert "before the year 2000" in never_set.error
    assert ahead.error == "This report claims a time 60 minutes from now; 10 is the most."


def test_a_malformed_report_is_answered_with_its_own_sentences():
    assert malformed(NotUnderstood("It is empty.", "Fill it.")) == Refusal(400, "It is empty.", "Fill it.")
