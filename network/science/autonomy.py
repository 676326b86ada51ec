"""How long a battery lasts: what a night takes, what a day gives back, and where the dawns are heading."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Seconds = NDArray[np.int64]

HOUR, DAY = 3600.0, 86400.0

REST = 3 * HOUR
"""[s] After sunset the voltage of a charged battery still sinks by itself (common practice: hours, not minutes)."""

DAWN = 2 * HOUR
"""[s] The end of the night, when a battery has rested longest and its voltage tells most."""

FEWEST, LATEST = 4, 8
"""Dawns before a course can be told, and so many of the last ones that tell it: a week."""

LONGEST = 60.0
"""Nights beyond which nobody can foresee anything."""

AWAKE = 0.7
"""[1] Share of a night's fall that goes with the reports, where nothing is known (an assumption, not measured)."""


@dataclass(frozen=True)
class Nights:
    """The nights of some days, arrays of shape (n,), NaN where not known."""

    dawn: Seconds
    """The end of each night [UTC epoch s]."""
    charge: Floats
    """At dawn [1]."""
    hours: Floats
    """How long the sun was down."""
    fall: Floats
    """Charge lost from dusk, rested, to dawn, as for the whole night [1]."""
    gain: Floats
    """What the day before gave back on top of what it used: evening, rested, less the dawn before [1]."""
    sun: Floats
    """Irradiation of the day before as a share of a clear day's [1]."""
    interval: Floats
    """Usual time between the night's reports [s]."""

    def __len__(self) -> int:
        return len(self.dawn)


@dataclass(frozen=True)
class Outlook:
    """What the nights lead one to expect; NaN where it could not be told, infinite where there is no end."""

    charge: float
    """At the last dawn [1]."""
    fall: float
    """What a night takes [1]."""
    gain: float
    """What a day gave of late [1]."""
    clear_gain: float
    """What a clear day would give [1], at least: a full battery takes no more."""
    change: float
    """From one dawn to the next [1]."""
    falling: bool
    """Whether that is surely downward, and to an end that can be foreseen."""
    nights: float
    """Until the charge is down to ``least``, should the days stay as they are."""
    soonest: float
    latest: float
    """Nine times in ten it comes between these."""
    without_sun: float
    """Nights it would last with no sun at all."""
    without_sun_least: float
    """The same, with the charge as low and the nights as hungry as they may well be."""


def nights(
    seconds: Seconds, charge: ArrayLike, elevation: ArrayLike, irradiance: ArrayLike, clear_sky: ArrayLike
) -> Nights:
    """Cut some days into their nights.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        [s since 1970, UTC], rising.
    charge, elevation, irradiance, clear_sky : array_like, shape (n,)
        State of charge by the voltage, as if it were at rest [1]; the sun's elevation [degrees]; irradiance measured
        and under a clear sky [W/m2]. NaN where missing.

    Returns
    -------
    Nights
        Those whose end is seen, oldest first. None where the sun does not set.
    """
    charge, irradiance, clear_sky = (np.asarray(a, dtype=np.float64) for a in (charge, irradiance, clear_sky))
    dark = np.asarray(elevation, dtype=np.float64) < 0
    dusks = np.flatnonzero(~dark[:-1] & dark[1:]) + 1
    dawns = np.flatnonzero(dark[:-1] & ~dark[1:]) + 1
    rows: list[tuple[float, ...]] = []
    before = np.nan
    for dusk in dusks:
        after = dawns[dawns > dusk]
        if not len(after) or seconds[after[0]] - seconds[dusk] > DAY:
            continue
        dawn = int(after[0])
        begins, ends = float(seconds[dusk]), float(seconds[dawn])
        hours = (ends - begins) / HOUR
        evening = _level(charge, seconds, begins + REST, begins + REST + DAWN)
        morning = _level(charge, seconds, ends - DAWN, ends)
        rested = (ends - begins - REST - DAWN) / HOUR
        fall = (evening - morning) / rested * hours if rested > 0 else np.nan
        day = slice(*np.searchsorted(seconds, [begins - DAY / 2 - 6 * HOUR, begins]))
        rows.append(
            (
                ends,
                morning,
                hours,
                fall,
                morning + fall - before,
                _share(irradiance[day], clear_sky[day]),
                _usual(seconds[dusk:dawn]),
            )
        )
        before = morning
    table = np.array(rows).reshape(-1, 7).T
    return Nights(table[0].astype(np.int64), *table[1:])


def at_dawn(seen: Nights, seconds: Seconds, values: ArrayLike) -> Floats:
    """Values of any kind, shape (n,) at ``seconds``, as they were at the end of each night; NaN where missing."""
    values = np.asarray(values, dtype=np.float64)
    return np.array([_level(values, seconds, dawn - DAWN, dawn) for dawn in seen.dawn])


def outlook(seen: Nights, doubt: float, least: float) -> Outlook | None:
    """Where the dawns are heading.

    ``doubt`` is the standard error of a charge [1], ``least`` the charge at which the sensors lack supply [1].
    None where fewer than four dawns are known. Medians and the median of all slopes between two dawns, with its
    interval (Theil 1950, Sen 1968, as SciPy has it), so that one odd night changes nothing.
    """
    from scipy.stats import theilslopes

    known = np.isfinite(seen.charge)
    if known.sum() < FEWEST:
        return None
    charge, days = seen.charge[known][-LATEST:], seen.dawn[known][-LATEST:] / DAY
    slope, _, low, high = theilslopes(charge, days, alpha=0.9)
    change, steepest, gentlest = float(slope), float(low), float(high)
    now = float(np.clip(np.median(charge[-3:] + change * (days[-1] - days[-3:])), 0.0, 1.0))
    fall, gain = _median(seen.fall), _median(seen.gain)
    lasting = _lasts(max(now - least, 0.0), -change)
    spare, sure = max(now - least, 0.0), max(now - 1.645 * doubt - least, 0.0)
    hungriest = float(np.nanquantile(seen.fall, 0.9)) if np.isfinite(seen.fall).any() else np.nan
    return Outlook(
        charge=now,
        fall=fall,
        gain=gain,
        clear_gain=_clear_gain(seen),
        change=change,
        falling=gentlest < 0 and bool(np.isfinite(lasting)),
        nights=lasting,
        soonest=_lasts(sure, -steepest),
        latest=_lasts(max(now + 1.645 * doubt - least, 0.0), -gentlest),
        without_sun=_lasts(spare, fall),
        without_sun_least=_lasts(sure, hungriest),
    )


def awake_share(seen: Nights) -> float:
    """Share of a night's fall that goes with the reports [1], at the latest interval, from the station's history.

    NaN unless at least three nights each are known at two intervals that differ by half and more. What a night
    takes per hour is then taken for a rest and a cost for each report.
    """
    rate, often = seen.fall / seen.hours, HOUR / seen.interval
    known = np.isfinite(rate) & np.isfinite(often)
    if not known.any():
        return np.nan
    rate, often = rate[known], often[known]
    here = np.abs(np.log(often / often[-1])) < np.log(1.2)
    there = np.abs(np.log(often / often[-1])) >= np.log(1.5)
    if here.sum() < 3 or there.sum() < 3 or np.median(rate[here]) <= 0:
        return np.nan
    used, other = float(np.median(rate[here])), float(np.median(rate[there]))
    each = (used - other) / (float(np.median(often[here])) - float(np.median(often[there])))
    return float(np.clip(each * np.median(often[here]) / used, 0.0, 1.0))


def hours_gained(spare: float, fall_per_hour: float, longer: float, awake: float) -> float:
    """How many hours more a charge would last in the dark, were reports ``longer`` times as far apart [h].

    ``spare`` is the charge that may go [1], ``fall_per_hour`` what goes now [1/h], ``awake`` the share of it
    that goes with the reports [1]. NaN where nothing falls. An estimate, no better than ``awake``.
    """
    if not fall_per_hour > 0:
        return np.nan
    return spare / fall_per_hour * (1 / (1 - awake + awake / longer) - 1)


def _level(charge: Floats, seconds: Seconds, begins: float, ends: float) -> float:
    within = charge[slice(*np.searchsorted(seconds, [begins, ends]))]
    return _median(within)


def _median(values: Floats) -> float:
    known = values[np.isfinite(values)]
    return float(np.median(known)) if len(known) else np.nan


def _share(irradiance: Floats, clear_sky: Floats) -> float:
    """What came of the sun of a clear day; NaN where most of it was not measured."""
    known = np.isfinite(irradiance)
    clear = float(clear_sky[known].sum())
    return float(irradiance[known].sum()) / clear if clear > 0.5 * clear_sky.sum() else np.nan


def _usual(seconds: Seconds) -> float:
    return float(np.median(np.diff(seconds))) if len(seconds) > 2 else np.nan


def _clear_gain(seen: Nights) -> float:
    """By how the gains went with the sun; where the sun is not measured, the best day's."""
    bright = np.isfinite(seen.gain) & (seen.sun > 0.2)
    if bright.sum() >= 3:
        return _median(seen.gain[bright] / np.minimum(seen.sun[bright], 1.0))
    known = seen.gain[np.isfinite(seen.gain)]
    return float(known.max()) if len(known) else np.nan


def _lasts(spare: float, falls: float) -> float:
    """Nights until so much is gone: infinite where it does not fall or lies too far to foresee."""
    if np.isnan(falls) or np.isnan(spare):
        return np.nan
    lasting = spare / falls if falls > 0 else np.inf
    return lasting if lasting <= LONGEST else np.inf
