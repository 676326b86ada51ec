"""Temperature at 500 places of the made village, where the truth is known, from ten stations [K]."""

import functools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from network.science.variables import VARIABLES
from network.spatial.distance import local_plane
from network.spatial.learnt import learn
from network.spatial.prior import Prior
from network.spatial.sites import Sites
from network.spatial.village import map_field
from tests.scores.rivals import RIVALS
from tests.scores.row import Estimates, Row, scored, timed
from tests.village import Places, five_minutes, places

TEMPERATURE = VARIABLES["air_temperature"]
NOISE = 0.2  # [K] of each thermometer, independent from reading to reading
STATIONS, HIDDEN, LAYOUTS = 10, 500, 2
PAST, NOW = 10, 2  # [days] to learn from, and to map
EVERY = 12  # of the five-minute readings: one an hour
BAD, TOO_WARM = 4, 2.0  # the badly sited station, and by how much [K]; its siting class says as much
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

    @property
    def given(self) -> tuple[Sites, NDArray[np.float64], NDArray[np.float64]]:
        return self.sites, self.past, self.now


SEASONS = {"winter": (12, 1, 2), "spring": (3, 4, 5), "summer": (6, 7, 8), "autumn": (9, 10, 11)}
PARTS: dict[str, Callable[[Spell], bool]] = {
    **{season: lambda one, months=months: one.month in months for season, months in SEASONS.items()},
    "day": lambda one: one.by_day,
    "night": lambda one: not one.by_day,
}
"""In each of which the intervals are to mean what they say."""


def measure() -> Iterator[Row]:
    """Ours and the others over the whole year; then ours by season, day and night, and with a badly sited station."""
    mine = []
    for name, method in {"ours": ours, **RIVALS}.items():
        said, seconds = timed(lambda method=method: [method(*one.given, one.hidden) for one in spells()])
        mine = mine or said
        yield _scored("made-village", name, said, spells(), seconds)
    for words, wanted in PARTS.items():
        chosen = [(its, one) for its, one in zip(mine, spells(), strict=True) if wanted(one)]
        yield _scored(f"made-village {words}", "ours", *zip(*chosen, strict=True))
    chosen, with_it, without = badly_sited()
    yield _scored("made-village", "ours, bad station", with_it, chosen)
    yield _scored("made-village", "ours, without it", without, chosen)


def badly_sited() -> tuple[list[Spell], list[Estimates], list[Estimates]]:
    """Four months of the year with one station two kelvin too warm, sited as such a one is, and without it."""
    chosen, with_it, without = [one for one in spells() if one.month % 3 == 1], [], []
    for one in chosen:
        bad = np.arange(len(one.sites)) == BAD
        warm = TOO_WARM * bad[:, None]
        noise = np.where(bad, TOO_WARM, NOISE)
        with_it.append(ours(one.sites, one.past + warm, one.now + warm, one.hidden, noise))
        without.append(ours(one.sites[~bad], one.past[~bad], one.now[~bad], one.hidden))
    return chosen, with_it, without


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


def _scored(
    dataset: str, name: str, said: Sequence[Estimates], of: Sequence[Spell], seconds: float = 0.0
) -> Row:
    """Some spells in one long row."""
    middle = np.concatenate([one.middle.ravel() for one in said])
    truth = np.concatenate([one.truth.ravel() for one in of])
    if said[0].quantile is None:
        return scored(dataset, name, Estimates(middle), truth, seconds)
    told = Estimates(middle, lambda share: np.concatenate([one.quantile(share).ravel() for one in said]))
    return scored(dataset, name, told, truth, seconds)


def _anywhere(count: int, seed: int) -> Places:
    random = np.random.default_rng(seed)
    return places(random.uniform(-1200, 1200, count), random.uniform(-950, 950, count))


def _sites(where: Places) -> Sites:
    return Sites(*local_plane(where.latitude, where.longitude, (47.312, 8.914)), where.elevation)
