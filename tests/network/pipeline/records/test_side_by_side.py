"""Two stations whose every hour is known: the comparison finds what was put into them, and no more."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from network.models import Observation
from network.pipeline.records.side_by_side import SideBySide, side_by_side
from tests.network.known_hours import (
    BEGINS,
    DAY,
    DAYS,
    HOURS,
    Known,
    clear_spells,
    hollow,
    keep,
    temperatures,
    weather,
)
from tests.network.made_village import channel


def compared(known: Known, variable: str = "air_temperature", only_good: bool = True) -> SideBySide:
    span = (BEGINS, int(HOURS[-1]) + 3600)
    return side_by_side(known.village, [known.green, known.brook], variable, span, only_good)


def test_the_nights_of_a_frost_hollow_are_told_from_the_others(known: Known) -> None:
    hollow(known)
    nights = compared(known).pairs[0].nights
    # Constructed: 24 days, clear two by two. A night beside a clear day counts, of it the half beside that day.
    assert nights.then.size == 18 and nights.then.below == 18 and nights.then.told
    assert nights.then.median == pytest.approx(-2.0, abs=0.01)
    assert nights.otherwise.median == pytest.approx(-0.3, abs=0.01)
    assert nights.unlike < 0.001


def test_wind_makes_no_night_a_clear_calm_one(known: Known) -> None:
    weather(known, clear_spells(), np.full(len(HOURS), 6.0))
    temperatures(known, np.full(len(HOURS), -1.0))
    found = compared(known)
    # Green's cups stand without a stated height, so at the ten metres asked for.
    assert not found.nights.meant.any() and found.pairs[0].nights.otherwise.size > 6


def test_the_mean_difference_and_the_line_are_those_put_in(known: Known) -> None:
    random = np.random.default_rng(6)
    weather(known, clear_spells(), np.full(len(HOURS), 1.0))
    truth = 285.0 + 6.0 * np.sin(np.arange(len(HOURS)) / 24 * 2 * np.pi)
    keep(known.green, {"air_temperature": truth + random.normal(0, 0.2, len(HOURS))})
    keep(
        known.brook,
        {"air_temperature": 285.0 + 1.1 * (truth - 285.0) - 0.5 + random.normal(0, 0.2, len(HOURS))},
    )
    pair = compared(known).pairs[0]
    assert pair.hours == len(HOURS)
    assert pair.mean == pytest.approx(-0.5, abs=0.05)
    assert abs(pair.line.slope - 1.1) < 1.645 * pair.line.slope_error < 0.02
    # At the middle of the values the line says the mean difference.
    assert pair.line.at(285.0)[0] - 285.0 == pytest.approx(-0.5, abs=0.05)


def test_hours_of_the_day_are_the_villages(known: Known) -> None:
    local = np.arange(len(HOURS)) % 24  # the span begins at the village's midnight
    temperatures(known, np.where(local == 15, 3.0, 0.0))
    by_hour = compared(known).pairs[0].by_hour
    assert_allclose(by_hour.median, np.where(np.arange(24) == 15, 3.0, 0.0), atol=1e-3)
    assert (by_hour.size == DAYS).all()


def test_sectors_are_of_the_winds_origin_and_calms_stand_apart(known: Known) -> None:
    weather(known, clear_spells(), np.where(DAY < 6, 0.2, 4.0), direction=268.0)
    temperatures(known, np.where(DAY < 6, -2.0, 1.0))
    by_sector = compared(known).pairs[0].by_sector
    # Eight sectors from north: west is the seventh, and calm follows them.
    assert by_sector.size.tolist() == [0, 0, 0, 0, 0, 0, 18 * 24, 0, 6 * 24]
    assert_allclose(by_sector.median[[6, 8]], [1.0, -2.0], atol=1e-3)


def test_a_rain_shadow_is_the_share_of_wet_days(known: Known) -> None:
    for station in (known.green, known.brook):
        channel(station, "rain_amount")
    falls = (DAY % 3 == 0) & (np.arange(len(HOURS)) % 24 < 4)
    keep(known.green, {"rain_amount": np.where(falls, 2.0, 0.0)}, "total")
    keep(known.brook, {"rain_amount": np.where(falls, 1.6, 0.0)}, "total")
    rain = compared(known, "rain_amount").pairs[0].rain
    # Constructed: 8 mm on every third day against 6.4 mm.
    assert rain.share.size == 8 and rain.share.ratio == pytest.approx(0.8, abs=1e-5)
    assert (rain.signs.below, rain.signs.above) == (8, 0)


def test_what_the_checks_found_wrong_counts_only_when_asked(known: Known) -> None:
    wrong = (DAY == 3) & (np.arange(len(HOURS)) % 24 == 12)
    temperatures(known, np.where(wrong, np.nan, 0.0))
    Observation.objects.bulk_create(
        Observation(
            station=station,
            observed_at=int(at) + 600 * k,
            air_temperature=280.0 + more,
            air_temperature_mark=3,
        )
        for station, more in ((known.green, 0.0), (known.brook, 9.0))
        for at in HOURS[wrong]
        for k in range(1, 7)
    )
    assert compared(known).pairs[0].hours == len(HOURS) - 1
    everything = compared(known, only_good=False).pairs[0]
    assert everything.hours == 1 and everything.mean == pytest.approx(9.0, abs=1e-4)


def test_stations_with_no_hour_in_common_are_compared_to_nothing(known: Known) -> None:
    pair = compared(known).pairs[0]
    assert pair.hours == 0 and np.isnan(pair.mean) and pair.nights.then.size == 0


def test_directions_differ_the_short_way_round(known: Known) -> None:
    keep(known.green, {"wind_from_direction": np.full(len(HOURS), 355.0)})
    keep(known.brook, {"wind_from_direction": np.full(len(HOURS), 5.0)})
    pair = compared(known, "wind_from_direction").pairs[0]
    assert pair.mean == pytest.approx(10.0) and pair.line is None
