"""Temperature at 500 places of the made village, where the truth is known, from ten stations [K]."""

import functools
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from network.science.variables import VARIABLES
from network.spatial.distance import local_plane
from network.spatial.learnt import learn
from network.spatial.prior import Prior
from network.spatial.sites import Sites
from network.spatial.village import map_field
from tests.scores.rivals import RIVALS, Method
from tests.scores.row import Estimates, Row, scored, timed
from tests.village import Places, five_minutes, places

TEMPERATURE = VARIABLES["air_temperature"]
NOISE = 0.2  # [K] of each thermometer, independent from reading to reading
STATIONS, HIDDEN, LAYOUTS = 10, 500, 2
PAST, NOW = 10, 2  # [days] to learn from, and to map
EVERY = 12  # of the five-minute readings: one an hour
SUN_UP = 5.0  # [deg] Above this it is day.
BEGINNINGS = tuple(f"2026-{month:02d}-{day}" for month in range(1, 13) for day in ("02", "16"))


@dataclass(frozen=True, eq=False)
class Spell:
    """Some days of a month, or their nights, in one layout of stations."""

    month: int
    by_day: bool
    sites: Sites
    hidden: Sites
    past: NDArray[np.float64]  # (10, s)
    now: NDArray[np.float64]  # (10, t)
    truth: NDArray[np.float64]  # (500, t)


def measure() -> Iterator[Row]:
    """Ours and the others over the whole year."""
    truth = np.concatenate([spell.truth.ravel() for spell in spells()])
    for name, method in {"ours": ours, **RIVALS}.items():
        said, seconds = timed(lambda method=method: _all(method))
        yield scored("made-village", name, said, truth, seconds)


def ours(sites: Sites, past: np.ndarray, now: np.ndarray, hidden: Sites, noise: object = NOISE) -> Estimates:
    """What the days before taught, and the map by it."""
    learnt = learn(sites, noise, past, Prior.of(TEMPERATURE.field))
    found = map_field(TEMPERATURE, sites, noise, now, hidden, learnt)
    return Estimates.gaussian(found.estimate, found.error)


@functools.cache
def spells() -> list[Spell]:
    """Days and nights of every fortnight, each with layouts of its own."""
    hidden = _anywhere(HIDDEN, seed=500)
    there = _sites(hidden)
    out = []
    for number, begin in enumerate(BEGINNINGS):
        seconds = five_minutes(begin, PAST + NOW)[::EVERY]
        past = seconds < seconds[0] + PAST * 86400
        weather = hidden.truth(seconds[~past])
        truth, sun = weather["air_temperature"], weather["sun_elevation"][0]
        for layout in range(LAYOUTS):
            stations = _anywhere(STATIONS, seed=LAYOUTS * number + layout)
            known = stations.truth(seconds)
            noise = np.random.default_rng([number, layout]).normal(0, NOISE, (STATIONS, len(seconds)))
            read, up = known["air_temperature"] + noise, known["sun_elevation"][0] > SUN_UP
            for by_day in (True, False):
                part = up == by_day
                chosen = (sun > SUN_UP) == by_day
                out.append(
                    Spell(
                        int(begin[5:7]), by_day, _sites(stations), there,
                        read[:, past & part], read[:, ~past & part], truth[:, chosen],
                    )
                )  # fmt: skip
    return out


def _all(method: Method) -> Estimates:
    """All spells in one long row."""
    said = [method(one.sites, one.past, one.now, one.hidden) for one in spells()]
    middle = np.concatenate([one.middle.ravel() for one in said])
    if said[0].quantile is None:
        return Estimates(middle)
    return Estimates(middle, lambda share: np.concatenate([one.quantile(share).ravel() for one in said]))


def _anywhere(count: int, seed: int) -> Places:
    random = np.random.default_rng(seed)
    return places(random.uniform(-1200, 1200, count), random.uniform(-950, 950, count))


def _sites(where: Places) -> Sites:
    return Sites(*local_plane(where.latitude, where.longitude, (47.312, 8.914)), where.elevation)
