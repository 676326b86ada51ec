"""How long a battery lasts: batteries whose budget is known because it was made."""

from itertools import accumulate

import numpy as np
import pytest

from network.science.autonomy import Nights, awake_share, hours_gained, nights, outlook
from network.science.sun import clear_sky_irradiance, solar_position

HOUR, DAY = 3600, 86400
NOVEMBER = 1_763_164_800  # 15 November 2025, 00:00 UTC


def weeks(
    days: int = 10,
    begins: float = 0.9,
    takes: float = 0.01,
    gives: float = 0.15,
    sun: float = 0.4,
    every: int = 600,
) -> Nights:
    """A battery that each hour loses ``takes``, and of which a clear day gives back ``gives``."""
    seconds = NOVEMBER + np.arange(every, days * DAY, every, dtype=np.int64)
    elevation, _ = solar_position(seconds, 47.3, 8.9)
    clear = clear_sky_irradiance(elevation)
    changes = gives * sun * clear / (clear.sum() / days) - takes * every / HOUR
    charge = np.array(list(accumulate(changes, lambda held, change: min(held + change, 1.0), initial=begins)))
    return nights(seconds, charge[1:], elevation, sun * clear, clear)


def test_what_a_night_takes_and_a_day_gives_comes_out_as_put_in():
    seen = weeks(days=4, takes=0.01, gives=0.15, sun=0.4)
    length = np.median(seen.hours)
    # An almanac, 47° north in the middle of November: the sun is up for some nine and a half hours.
    assert 13.5 < length < 15.5
    assert np.median(seen.fall) == pytest.approx(0.01 * length, rel=0.02)
    assert np.nanmedian(seen.gain) == pytest.approx(0.4 * 0.15 - 0.01 * (24 - length), abs=0.005)
    assert seen.sun == pytest.approx(np.full(len(seen), 0.4), abs=0.01)


def test_the_end_is_foreseen_to_the_night():
    # Constructed: each day takes 0.12 and gives 0.04.
    found = outlook(weeks(days=6, takes=0.005, gives=0.1, sun=0.4), doubt=0.05, least=0.2)
    assert found is not None and found.falling
    assert found.change == pytest.approx(0.1 * 0.4 - 0.005 * 24, abs=0.003)
    assert found.nights == pytest.approx((found.charge - 0.2) / 0.08, abs=0.2)
    assert found.soonest < found.nights < found.latest


def test_a_battery_that_fills_each_day_has_no_end_in_sight():
    found = outlook(weeks(takes=0.01, gives=2.0, sun=0.9), doubt=0.1, least=0.05)
    assert found is not None and not found.falling
    assert np.isinf(found.nights) and np.isinf(found.latest)
    assert found.without_sun == pytest.approx((found.charge - 0.05) / found.fall)
    assert found.without_sun_least < found.without_sun


def test_what_a_clear_day_would_give_is_told_from_dull_ones():
    found = outlook(weeks(takes=0.002, gives=0.15, sun=0.5, begins=0.5), doubt=0.1, least=0.0)
    assert found is not None
    # By day it uses a little as well: some nine and a half hours of 0.002.
    assert found.clear_gain == pytest.approx(0.15 - 0.002 * 9.5 / 0.5, abs=0.01)


def test_one_odd_night_changes_nothing():
    seen = weeks(days=12, takes=0.004, gives=0.1)
    odd = Nights(**vars(seen) | {"charge": np.where(np.arange(len(seen)) == 5, 0.05, seen.charge)})
    usual, despite = outlook(seen, 0.1, 0.0), outlook(odd, 0.1, 0.0)
    assert usual is not None and despite is not None
    assert despite.change == pytest.approx(usual.change, abs=0.01)


def test_too_few_dawns_tell_nothing_and_the_polar_day_has_no_nights():
    assert outlook(weeks(days=3), 0.1, 0.0) is None
    seconds = np.arange(0, 3 * DAY, 600, dtype=np.int64)
    day = np.full(seconds.size, 0.5)
    assert len(nights(seconds, day, np.full(seconds.size, 20.0), day, day)) == 0


def test_what_reports_cost_is_told_from_nights_at_two_intervals():
    # Constructed: an hour costs 0.004 at rest and 0.001 for each report.
    def night(interval: float) -> float:
        return 14 * (0.004 + 0.001 * HOUR / interval)

    intervals = np.array([600.0] * 4 + [300.0] * 4)
    blank = np.full(8, np.nan)
    seen = Nights(
        dawn=np.arange(8) * DAY,
        charge=blank,
        hours=np.full(8, 14.0),
        fall=np.array([night(i) for i in intervals]),
        gain=blank,
        sun=blank,
        interval=intervals,
    )
    assert awake_share(seen) == pytest.approx(12 / 16)
    assert np.isnan(awake_share(weeks()))


def test_a_longer_interval_gains_what_the_budget_says():
    # By hand: 0.4 at 0.01 an hour are 40 h; with three quarters for reports half as often, 0.00625: 64 h.
    assert hours_gained(0.4, 0.01, longer=2.0, awake=0.75) == pytest.approx(24.0)
    assert hours_gained(0.4, 0.01, longer=2.0, awake=0.0) == 0
    assert np.isnan(hours_gained(0.4, 0.0, longer=2.0, awake=0.7))
