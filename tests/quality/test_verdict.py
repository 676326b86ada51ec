"""One verdict from all the evidence.

The rule is that of complex quality control (Gandin 1988): what one check alone says seldom decides, and what
the neighbours vouch for is weather. The codes are those of BUFR code table 0 33 020.
"""

import numpy as np
import pytest

from network.quality.checks import CHECKS
from network.quality.document import COLUMNS, rows, table
from network.quality.explanation import explain
from network.quality.register import look_alone, look_at_neighbours, trusted
from network.quality.verdict import (
    DOUBTFUL,
    GOOD,
    MISSING,
    UNCHECKED,
    VERDICT_WORDS,
    WRONG,
    decide,
    reasons_of,
    verdict_of,
)
from tests.quality.windows import celsius, verdicts, window


def beside(values, error=0.4):
    return {"air_temperature": (np.asarray(values), np.full(len(values), error))}


def test_the_codes_are_those_of_bufr_table_0_33_020():
    assert (GOOD, DOUBTFUL, WRONG, UNCHECKED, MISSING) == (0, 2, 3, 4, 7)
    assert set(VERDICT_WORDS.values()) == {"good", "doubtful", "wrong", "unchecked", "missing"}


def test_a_front_that_crosses_the_village_raises_nothing():
    before, after = np.full(24, 298.15), np.full(24, 288.15)
    here = np.concatenate([before, after]) + np.tile([0.0, 0.1], 24)
    # It reaches the neighbours ten minutes later: ten kelvins are missing between them for two readings.
    there = np.concatenate([before, [298.15, 298.15], after[:-2]])
    found = verdicts(window({"air_temperature": here}), beside(there))["air_temperature"]
    assert (found == GOOD).all()


def test_a_lone_step_is_doubtful_at_most():
    found = verdicts(window({"air_temperature": celsius(12, 12.1, 22, 22.1, 22.2)}))["air_temperature"]
    assert list(found) == [GOOD, GOOD, DOUBTFUL, GOOD, GOOD]


def test_a_step_that_the_neighbours_do_not_share_is_wrong():
    readings = celsius(12, 12.1, 22, 22.1, 22.2)
    found = verdicts(window({"air_temperature": readings}), beside(celsius(12, 12, 12, 12, 12)))
    assert list(found["air_temperature"]) == [GOOD, GOOD, WRONG, WRONG, WRONG]


def test_a_mild_departure_alone_is_doubtful():
    found = verdicts(window({"air_temperature": celsius(14.5)}), beside(celsius(12)))
    assert list(found["air_temperature"]) == [DOUBTFUL]


def test_no_neighbour_can_vouch_for_the_impossible():
    found = verdicts(window({"air_temperature": celsius(70)}), beside(celsius(70)))
    assert list(found["air_temperature"]) == [WRONG]


def test_a_value_that_no_check_could_look_at_is_unchecked_and_none_at_all_is_missing():
    station = window({"air_temperature": [np.nan, 283.15]})
    assert list(verdict_of(decide(station, [])["air_temperature"])) == [MISSING, UNCHECKED]
    assert list(verdicts(station)["air_temperature"]) == [MISSING, GOOD]


def test_a_derived_value_is_no_better_than_what_it_was_derived_from():
    station = window(
        {
            "air_temperature": celsius(20, 20.1, 20.2),
            "relative_humidity": [0.5, 1.2, 0.5],
            "dew_point": celsius(9.3, 9.4, 9.5),
        }
    )
    marks = decide(station, look_alone(station))["dew_point"]
    assert list(verdict_of(marks)) == [GOOD, WRONG, GOOD]
    assert "physical" in reasons_of(marks[1])


def test_a_good_reading_has_the_mark_zero():
    marks = decide(station := window({"air_temperature": celsius(9, 9.1)}), look_alone(station))
    assert marks["air_temperature"].dtype == np.int64 and list(marks["air_temperature"]) == [0, 0]


def test_a_spike_and_a_censored_value_do_not_stand_in_for_the_neighbours():
    values = celsius(12, 12.1, 20, 12.2, 12.1, 0.0)
    station = window({"air_temperature": values}, ranges={"air_temperature": (273.15, 323.15)})
    fit = trusted(station, look_alone(station))["air_temperature"]
    assert list(fit) == [True, True, False, True, True, False]


def test_the_explanation_gives_what_was_observed_expected_and_allowed_in_the_readers_words():
    station = window({"air_temperature": celsius(41.2, 41.3)})
    evidence = look_alone(station) + look_at_neighbours(station, beside(celsius(28, 28)))
    first, *others = explain(station, evidence, "air_temperature", 1)
    assert first.check.name == "departure" and first.counted
    assert (first.observed, first.expected) == pytest.approx((314.45, 301.15))
    assert "41.3 °C" in first.sentence and "28.0 °C" in first.sentence
    assert abs(first.observed - first.expected) / first.tolerance == pytest.approx(first.strain)
    assert {"physical", "step"} <= {reason.check.name for reason in others if not reason.counted}


def test_the_explanation_says_what_the_neighbours_excused():
    station = window({"air_temperature": celsius(25, 18)})
    evidence = look_alone(station) + look_at_neighbours(station, beside(celsius(25, 18)))
    excused = [reason for reason in explain(station, evidence, "air_temperature", 1) if reason.excused]
    assert [reason.check.name for reason in excused] == ["step"]
    assert "The neighbours saw the same" in excused[0].sentence


def test_every_sentence_can_be_said():
    # Every check, whatever it saw, gives a sentence without an open place in it.
    for check in CHECKS.values():
        places = dict.fromkeys(
            ("variable", "observed", "expected", "tolerance", "low", "high", "size", "hint"), "x"
        )
        assert check.meaning.format(**places).endswith(".") and check.advice[-1] in ".?"


def test_the_places_of_the_checks_in_a_mark_never_change():
    bits = {check.name: check.bit for check in CHECKS.values()}
    assert len(set(bits.values())) == len(bits) and set(bits.values()) <= {*range(27), *range(29, 49)}
    # Stored marks rest on these: add to them, and never alter one.
    assert list(bits) == sorted(bits, key=bits.__getitem__)
    assert [bits[name] for name in ("range_end", "physical", "step", "stuck", "departure")] == [
        0,
        2,
        4,
        6,
        17,
    ]


def test_only_the_impossible_and_the_end_of_a_range_decide_alone():
    assert {check.name for check in CHECKS.values() if check.decisive} == {"physical", "range_end"}


def test_a_threshold_that_does_not_exist_is_refused_with_those_that_do():
    station = window({"air_temperature": celsius(9)}, overrides={"step": {"limit": 3.0}})
    with pytest.raises(ValueError, match="has no threshold 'limit': use one of times, longest_gap"):
        look_alone(station)


def test_the_table_of_the_documentation_has_a_row_for_every_check():
    assert len(rows()) == len(CHECKS) and all(len(row) == len(COLUMNS) and all(row) for row in rows())
    lines = table().splitlines()
    assert len(lines) == len(CHECKS) + 2
    assert {line.count("|") - line.count("\\|") for line in lines} == {len(COLUMNS) + 1}
