"""Frames: the village at ten-minute steps, which is what is compared and drawn."""

from dataclasses import dataclass
from enum import Enum
from functools import cached_property

import numpy as np

from network.models import Decision, Observation
from network.models.observation import MARKS, VALUES
from network.models.storage import Floats, Rows, read
from network.pipeline.ledger import blocks
from network.pipeline.metadata.stretches import Stretch, sites, stretches
from network.pipeline.neighbours.scorecard import errors_in_maps, kept
from network.pipeline.verdicts.steward import rejected, set_aside
from network.quality.scorecard import Scored
from network.quality.verdict import DOUBTFUL, GOOD, MISSING, WRONG, otherwise_good, verdict_of
from network.science.variables import VARIABLES
from network.spatial.sites import Sites
from stations.models import Village

RAIN_SPAN = blocks.HOUR
"""[s] Rain is compared and drawn as what fell in the last hour: in ten minutes a gauge may tip once or not."""

ENOUGH = 2 / 3
"""Share of the reports a frame needs (from memory: WMO asks for about two thirds)."""

NOT_USED = {DOUBTFUL: "doubtful", WRONG: "wrong"}


class Use(Enum):
    """What readings are wanted for."""

    ALL = "all there are"
    COMPARED = "those that may tell what to expect of others, whatever the long run says of them"
    DRAWN = "those that may stand in a map"


@dataclass(frozen=True)
class Frames:
    """The stretches of a village's stations over some frames. Arrays have shape (n, t)."""

    village: Village
    at: np.ndarray  # (t,) ends of the frames [UTC epoch s]
    places: list[Stretch]
    rows: list[Rows]  # each stretch's readings
    decisions: list[Decision]

    @cached_property
    def sites(self) -> Sites:
        return sites(self.places, self.village)

    def noise(self, variable: str) -> Floats:
        """Each stretch's standard error, shape (n,)."""
        return np.array([place.noise.get(variable, VARIABLES[variable].accuracy) for place in self.places])

    def error_in_maps(self, variable: str) -> Floats:
        """Each stretch's standard error as its record, too, has shown it, shape (n,)."""
        return errors_in_maps(self.places, variable, self._scored)

    @cached_property
    def _scored(self) -> dict[tuple[int, str], Scored]:
        return kept({place.station for place in self.places}, int(self.at[0]) - blocks.FRAME)

    def values(self, variable: str, use: Use) -> Floats:
        """The variable in each frame, from the readings that may be used so."""
        result = np.full((len(self.places), len(self.at)), np.nan)
        for i, (place, rows) in enumerate(zip(self.places, self.rows, strict=True)):
            usable = self.usable(variable, place, rows, use)
            values = np.where(usable, rows.columns[variable], np.nan)
            if VARIABLES[variable].summary == "sum":
                result[i] = amounts(rows.at, values, self.at, RAIN_SPAN, place.report_every)
            else:
                result[i] = means(rows.at, values, self.at)
        return result

    def left_out(self, variable: str) -> list[list[list[object]]]:
        """For each frame, [station, why] of those that report and are not used."""
        used, said = self.values(variable, Use.DRAWN), self.values(variable, Use.ALL)
        silent = np.isfinite(said) & ~np.isfinite(used)
        whys = [self._whys(variable, place, rows) for place, rows in zip(self.places, self.rows, strict=True)]
        return [
            [[self.places[i].station, whys[i][t]] for i in np.flatnonzero(silent[:, t])]
            for t in range(len(self.at))
        ]

    def usable(self, variable: str, place: Stretch, rows: Rows, use: Use) -> np.ndarray:
        """Which of a stretch's readings may be used so, shape of its rows."""
        if use is Use.ALL:
            return np.ones(len(rows), bool)
        mark = np.nan_to_num(rows.columns[f"{variable}_mark"], nan=MISSING).astype(np.int64)
        aside = set_aside(variable, place.station, rows.at, self.decisions)
        if use is Use.COMPARED:
            good = otherwise_good(mark) & ~rejected(variable, place.station, rows.at, self.decisions)
        else:
            good = verdict_of(mark) == GOOD
        return good & place.counts(rows.at) & ~aside

    def _whys(self, variable: str, place: Stretch, rows: Rows) -> list[str]:
        """Why each frame goes without this station, should it."""
        verdict = np.nan_to_num(rows.columns[f"{variable}_mark"], nan=MISSING).astype(np.int64) & 7
        aside = set_aside(variable, place.station, rows.at, self.decisions)
        counts = place.counts(rows.at)
        whys = np.full(len(self.at), "too few good readings", dtype=object)
        frame = np.searchsorted(self.at, rows.at)
        for mask, why in (
            *((verdict == code, word) for code, word in NOT_USED.items()),
            (aside, "set aside by the steward"),
            (~counts, "not yet approved"),
        ):
            there = frame[mask]
            whys[there[there < len(self.at)]] = why
        return whys.tolist()


def frames(village: Village, begins_at: int, ends_at: int, station: int | None = None) -> Frames:
    """The frames that end within ``begins_at`` < end <= ``ends_at``, of all stations or of one."""
    at = np.arange(begins_at + blocks.FRAME, ends_at + 1, blocks.FRAME)
    first = begins_at - RAIN_SPAN
    places = [p for p in stretches(village, first, ends_at + 1) if station in (None, p.station)]
    stations = {place.station for place in places}
    rows = read(Observation, stations, first + 1, ends_at + 1, (*VALUES, *MARKS))
    parts = []
    for place in places:
        own = rows.of(place.station)
        inside = np.searchsorted(own.at, [place.begins_at, place.ends_at])
        parts.append(own.between(*(int(edge) for edge in inside)))
    decisions = Decision.objects.standing().filter(station__in=stations).touching(first, ends_at + 1)
    return Frames(village, at, places, parts, list(decisions))


def means(seconds: np.ndarray, values: Floats, at: np.ndarray) -> Floats:
    """Mean of each frame's readings, NaN where there is none."""
    frame = np.searchsorted(at, seconds)
    held = np.isfinite(values) & (frame < len(at)) & (seconds > at[0] - blocks.FRAME)
    total = np.bincount(frame[held], values[held], len(at))
    count = np.bincount(frame[held], minlength=len(at))
    with np.errstate(invalid="ignore"):
        return total / np.where(count, count, np.nan)


def amounts(seconds: np.ndarray, values: Floats, at: np.ndarray, span: float, every: float) -> Floats:
    """What fell in the ``span`` [s] up to each frame's end, NaN unless two thirds of the reports are there."""
    held = np.isfinite(values)
    seconds, running = seconds[held], np.concatenate([[0.0], np.cumsum(values[held])])
    first, last = np.searchsorted(seconds, at - span, "right"), np.searchsorted(seconds, at, "right")
    wanted = ENOUGH * max(span / every, 1.0)
    amount = np.round(running[last] - running[first], 6)
    return np.where(last - first >= wanted, amount, np.nan)
