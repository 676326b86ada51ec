"""What a village's stations say at one moment of a day: the figures behind the sentences, the map and the table."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from network.models.storage import Floats, Rows
from network.pipeline.ledger.blocks import FRAME, HOUR
from network.pipeline.maps.wind import vectors_at_ten_metres
from network.pipeline.metadata.stretches import Stretch
from network.pipeline.neighbours.frames import ENOUGH, Frames, Use, frames
from network.quality.verdict import DOUBTFUL, MISSING, WRONG, reasons_of, verdict_of
from network.science.pressure import THREE_HOURS
from network.science.rain import intensity
from network.science.units import convert
from network.science.variables import VARIABLES
from network.science.wind import speed_and_direction
from network.web.sentences import Gauge, Seen
from network.web.when import When
from stations.models import Station, Village

PATIENCE = 3
"""A station is silent after so many of its report intervals, and after half an hour at the least."""

TOLD = ("air_temperature", "relative_humidity", "station_pressure", "wind_speed", "rain_amount")
"""The variables whose disbelief a sentence mentions."""

HARM = np.array([0, 1, 2, 2, 1, 1, 1, -1])
"""How much worse each verdict (BUFR 0 33 020) is than good; MISSING least, for it is only the lack of any."""

Codes = NDArray[np.int64]


@dataclass(frozen=True)
class Reading:
    """A station's last reading of one variable [canonical unit], and its mark."""

    value: float
    mark: int

    @property
    def verdict(self) -> int:
        return int(verdict_of(self.mark))


NO_READING = Reading(np.nan, MISSING)


@dataclass(frozen=True)
class VillageNow:
    """A village's stations over the span shown, and at the chosen frame."""

    village: Village
    when: When
    stations: dict[int, Station]  # highest first
    seen: Frames

    @property
    def k(self) -> int:
        """Index of the chosen frame."""
        return int(np.searchsorted(self.seen.at, self.when.at))

    @cached_property
    def here(self) -> dict[int, tuple[Stretch, Rows]]:
        """The stretch that holds at the chosen frame, and its rows up to it, by station."""
        found = {}
        for place, rows in zip(self.seen.places, self.seen.rows, strict=True):
            if place.begins_at <= self.when.at - 1 < place.ends_at and place.station in self.stations:
                found[place.station] = (
                    place,
                    rows.between(0, int(np.searchsorted(rows.at, self.when.at, "right"))),
                )
        return found

    def last(self, station: int, variable: str) -> Reading:
        """The newest reading, unless it is older than the station's patience."""
        if station not in self.here:
            return NO_READING
        place, rows = self.here[station]
        known = np.isfinite(rows.columns[variable]) & (
            rows.at > self.when.at - max(FRAME, 1.5 * place.report_every)
        )
        if not known.any():
            return NO_READING
        i = int(np.flatnonzero(known)[-1])
        return Reading(float(rows.columns[variable][i]), int(rows.columns[f"{variable}_mark"][i]))

    def clock_doubted(self, station: int) -> bool:
        """Whether the newest thing it said was doubted for its clock: then no report may only mean a wrong time."""
        _, rows = self.here.get(station, (None, None))
        if rows is None or not len(rows):
            return False
        newest = (rows.columns[f"{name}_mark"][-1] for name in TOLD)
        return any("clock" in reasons_of(int(mark)) for mark in newest if np.isfinite(mark))

    def measures(self, station: int, variable: str) -> bool:
        return any(p.station == station and variable in p.noise for p in self.seen.places)

    def matrix(self, variable: str, trusted: bool) -> dict[int, Floats]:
        """Each station's frames over the span, (t,) [canonical unit]; its stretches joined."""
        values = self.seen.values(variable, Use.DRAWN if trusted else Use.ALL)
        joined = {station: np.full(len(self.seen.at), np.nan) for station in self.stations}
        for place, row in zip(self.seen.places, values, strict=True):
            if place.station in joined:
                np.copyto(joined[place.station], row, where=np.isfinite(row))
        return joined

    def verdicts(self, variable: str) -> dict[int, Codes]:
        """Each station's worst verdict in every frame, (t,): MISSING where it said nothing."""
        worst = {station: np.full(len(self.seen.at), MISSING) for station in self.stations}
        for place, rows in zip(self.seen.places, self.seen.rows, strict=True):
            frame = np.searchsorted(self.seen.at, rows.at)
            inside = (frame < len(self.seen.at)) & (rows.at > self.seen.at[0] - FRAME)
            if place.station not in worst:
                continue
            mark = np.nan_to_num(rows.columns[f"{variable}_mark"][inside], nan=MISSING).astype(np.int64)
            verdict = verdict_of(mark)
            for code in sorted(set(verdict.tolist()), key=lambda code: (HARM[code], code)):
                worst[place.station][frame[inside][verdict == code]] = code
        return worst

    @cached_property
    def winds(self) -> dict[int, tuple[float, float]]:
        """Trusted winds at ten metres: speed [m/s] and where from [degrees], by station."""
        east, north = (part[:, self.k] for part in vectors_at_ten_metres(self.seen))
        speed, direction = speed_and_direction(east, north)
        return {
            place.station: (float(speed[i]), float(direction[i]))
            for i, place in enumerate(self.seen.places)
            if np.isfinite(speed[i]) and place.station in self.stations
        }

    @cached_property
    def gauges(self) -> dict[int, Gauge]:
        """Trusted gauges by station."""
        return {
            station: gauge
            for station, (place, rows) in self.here.items()
            if (gauge := self._gauge(place, rows)) is not None
        }

    def _gauge(self, place: Stretch, rows: Rows) -> Gauge | None:
        usable = self.seen.usable("rain_amount", place, rows, Use.DRAWN)
        amount = np.where(usable, rows.columns["rain_amount"], np.nan)
        if not np.isfinite(amount[rows.at > self.when.at - HOUR]).any():
            return None
        lately = amount[(rows.at > self.when.at - FRAME) & np.isfinite(amount)]
        today = amount[(rows.at > self.when.midnight) & np.isfinite(amount)]
        expected = (self.when.at - self.when.midnight) / place.report_every
        wet = rows.at[(amount > 0) & (rows.at > self.when.at - 24 * HOUR)]
        return Gauge(
            lately=float(lately.sum()) if len(lately) else np.nan,
            rate=float(intensity(rows.at, amount)[-1]),
            today=float(today.sum()) if len(today) >= ENOUGH * expected else np.nan,
            last_wet=self.when.local(int(wet[-1])) if len(wet) else None,
        )

    def told(self) -> Seen:
        """What the sentences are made of."""
        temperature = {s: convert(row, "K", "Cel") for s, row in self.matrix("air_temperature", True).items()}
        names = {station: one.name for station, one in self.stations.items()}
        return Seen(
            at=self.when.local(),
            present=self.when.fresh,
            stations=len(self.here),
            temperatures={
                names[s]: float(row[self.k]) for s, row in temperature.items() if np.isfinite(row[self.k])
            },
            elevations={
                names[s]: place.elevation
                for s, (place, _) in self.here.items()
                if self.stations[s].shown != Station.Shown.HIDDEN
            },
            winds={names[s]: wind for s, wind in self.winds.items()},
            gusts=dict(self._trusted("wind_gust")),
            gauges={names[s]: gauge for s, gauge in self.gauges.items()},
            tendency=self._tendency(),
            doubted=dict(self._doubted()),
            silent=dict(self._silent()),
            day_over=self.when.day_over,
            low=self._extreme(temperature, np.nanargmin),
            high=self._extreme(temperature, np.nanargmax),
        )

    def _trusted(self, variable: str) -> Iterator[tuple[str, float]]:
        """The highest trusted value of the frame, by name."""
        for station, (place, rows) in self.here.items():
            good = self.seen.usable(variable, place, rows, Use.DRAWN) & (rows.at > self.when.at - FRAME)
            values = rows.columns[variable][good & np.isfinite(rows.columns[variable])]
            if len(values):
                yield self.stations[station].name, float(values.max())

    def _tendency(self) -> float:
        """Middle of the trusted barometers' changes over three hours [hPa]."""
        before = self.k - THREE_HOURS // FRAME
        if before < 0:
            return np.nan
        values = self.seen.values("station_pressure", Use.DRAWN)
        changes = values[:, self.k] - values[:, before]
        return float(np.median(changes[np.isfinite(changes)]) / 100) if np.isfinite(changes).any() else np.nan

    def _doubted(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        for station, one in self.stations.items():
            what = [v for v in TOLD if self.last(station, v).verdict in (DOUBTFUL, WRONG)]
            if what:
                yield one.name, tuple(VARIABLES[v].short for v in what)

    def _silent(self) -> Iterator[tuple[str, datetime | None]]:
        for station, (place, rows) in self.here.items():
            patience = max(PATIENCE * place.report_every, HOUR / 2)
            if (
                self.stations[station].state == Station.State.LIVE
                and not (rows.at > self.when.at - patience).any()
            ):
                yield self.stations[station].name, self.when.local(int(rows.at[-1])) if len(rows) else None

    def _extreme(self, temperature: dict[int, Floats], find: object) -> tuple[float, str, datetime] | None:
        """The day's lowest or highest trusted temperature [°C], where and when: up to the frame on the last day."""
        until = self.when.ends_at if self.when.day_over else self.when.at
        today = (self.seen.at > self.when.midnight) & (self.seen.at <= until)
        table = np.array([np.where(today, row, np.nan) for row in temperature.values()])
        if not np.isfinite(table).any():
            return None
        row, column = np.unravel_index(find(table), table.shape)  # type: ignore[operator]
        name = self.stations[list(temperature)[row]].name
        return float(table[row, column]), name, self.when.local(int(self.seen.at[column]))


def village_now(village: Village, when: When) -> VillageNow:
    """All that one page of the village needs, read once."""
    seen = frames(village, min(when.begins_at, when.midnight), when.ends_at)
    elevation = {place.station: place.elevation for place in seen.places}
    public = Station.objects.of(village).public().filter(pk__in=elevation)
    spoke = {p.station for p, rows in zip(seen.places, seen.rows, strict=True) if len(rows)}
    shown = [s for s in public if s.state == Station.State.LIVE or s.pk in spoke]
    ordered = sorted(shown, key=lambda station: (-elevation[station.pk], station.name))
    return VillageNow(village, when, {station.pk: station for station in ordered}, seen)
