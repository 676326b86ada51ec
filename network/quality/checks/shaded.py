"""A light sensor that something shades while the sun stands where it stands."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.checks.clock import apart_from
from network.quality.clear_moments import best_around, best_of, share_when_clear
from network.quality.finding import Finding
from network.quality.record import FRAME, Record
from network.quality.solar_days import SolarDays
from network.quality.standing import standing
from network.quality.window import Bools, Floats
from network.science.skyline import Skyline, skyline

SIDES = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def always_dark(share: Floats, lit: float, fewest: int, holds: int) -> tuple[Bools, Floats]:
    """Where the sun is hidden day after day at the same time of the day, when it stands at the same place.

    ``share`` has shape (days, frames of a day). Hidden is every day from the first to the last of at least
    ``fewest`` days with a clear sky that stayed dark with no lit one between them, and so many days more where
    none comes any more: what is not seen again is not known for ever. Also returns how many dark ones there are, shape (days, frames of a day).
    """
    dark, bright = share < lit, share >= lit
    # A lit day begins a new run of days, one frame of the day at a time.
    run = np.cumsum(bright, axis=0) * share.shape[1] + np.arange(share.shape[1])
    size = int(run.max()) + 1
    day = np.broadcast_to(np.arange(len(share))[:, None], share.shape)
    count = np.bincount(run[dark], minlength=size)
    first, last = np.full(size, len(share)), np.full(size, -1)
    np.minimum.at(first, run[dark], day[dark])
    np.maximum.at(last, run[dark], day[dark])
    last[run[-1]] += holds
    hidden: Bools = (count[run] >= fewest) & (day >= first[run]) & (day <= last[run])
    return hidden, count[run].astype(np.float64)


def _of_its_best(share: Floats) -> Floats:
    """Shares against the best of the days around, lest a dirty sensor pass for a shaded one, and no small gaps.

    What never sees any light is dead and not shaded.
    """
    best = best_around(best_of(share, 1), 3)
    share = share / np.where(best > 0.2, np.minimum(best, 1.0), np.nan)[:, None]
    beside = np.fmax(np.roll(share, 1, axis=1), np.roll(share, -1, axis=1))
    return np.where(np.isnan(share), beside, share)


def look_up(record: Record, thresholds: Thresholds) -> tuple[Floats, Floats, Floats]:
    """At each frame the share of a clear sky's light, whether the sun is hidden, and how many days say so.

    Shapes (n,). The share is NaN where the sky was not clear.
    """
    days = SolarDays.of(record)
    share = days.fold(share_when_clear(record, thresholds))
    hidden, count = always_dark(
        _of_its_best(share), thresholds["dark"], _fewest(record, thresholds), int(thresholds["holds"])
    )
    return days.unfold(share), days.unfold(hidden), days.unfold(count)


def skyline_of(record: Record, thresholds: Thresholds) -> Skyline:
    """The station's own skyline, as its light sensor has seen it in these weeks."""
    share, hidden, _ = look_up(record, thresholds)
    # A dark moment that does not come back day after day was a cloud after all.
    known = (hidden > 0) | (share >= thresholds["dark"])
    return skyline(
        record.sun_azimuth, record.sun_elevation, np.where(known, share, np.nan), thresholds["dark"]
    )


def seek(record: Record, thresholds: Thresholds) -> list[Finding]:
    return apart_from(record, list(_find(record, thresholds)))


def _find(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    if "irradiance" not in record.values or not record.seconds.size:
        return
    share, hidden, count = look_up(record, thresholds)
    lost = 1.0 - share[(hidden > 0) & np.isfinite(share)]
    for begin, end in np.flatnonzero(np.diff(np.concatenate([[0.0], hidden, [0.0]]))).reshape(-1, 2):
        if end - begin >= thresholds["shortest"] / FRAME:
            yield Finding(
                check="shaded",
                variable="irradiance",
                begins_at=int(record.seconds[begin]) - FRAME,
                ends_at=int(record.seconds[end - 1]),
                strain=float(np.median(count[begin:end])) / (_fewest(record, thresholds) - 1),
                size=float(np.median(lost)),
                error=float(np.std(lost) / np.sqrt(lost.size)),
                hint=_where(record, slice(begin, end)),
            )


def _fewest(record: Record, thresholds: Thresholds) -> int:
    return int(thresholds["fewest" if "irradiance" in record.around else "fewest_alone"])


def _where(record: Record, part: slice) -> str:
    high = float(np.mean(record.sun_elevation[part]))
    side = SIDES[round(float(np.mean(record.sun_azimuth[part])) / 45.0) % 8]
    return f"{'low' if high < 15 else 'high' if high > 40 else 'halfway up'} in the {side}"


CHECK = Check(
    name="shaded",
    bit=31,
    family="long run",
    source="common practice: under a clear sky a shadow that comes at the same sun every day is cast, not a cloud",
    thresholds={
        "sun_above": 4.0,  # [deg]
        "clear": 0.75,  # [1] of a clear sky's light
        "near": 7200.0,  # [s] a station alone must itself have seen that much as near as this
        "dark": 0.5,  # [1] of the light around it
        "fewest": 3.0,  # clear days, all dark
        "fewest_alone": 8.0,
        "holds": 4.0,  # days after the last clear one
        "shortest": 1200.0,  # [s]
    },
    needs="irradiance on some clear days; other stations with irradiance make it surer and sooner",
    meaning="The {variable} read {observed}: something shades the sensor while the sun stands {hint}.",
    advice="A roof, tree or mast in that direction is the usual cause. Place the sensor higher or elsewhere; what is"
    " far off and belongs to the landscape may stay.",
    judge=standing("shaded"),
    seek=seek,
)
