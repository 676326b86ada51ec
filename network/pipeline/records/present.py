"""What a station says at one moment: what it measured last, and what follows from it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from network.models import Observation
from network.models.observation import MARKS, VALUES
from network.models.storage import Floats, Rows, read
from network.quality.verdict import GOOD, MISSING, WRONG, no_better, verdict_of
from network.science import comfort, moisture, pressure, rain, wind
from network.science.sun import clear_sky_irradiance, solar_position
from network.science.variables import VARIABLES

LOOK_BACK = pressure.THREE_HOURS + pressure.TENDENCY_TOLERANCE
SAMPLES = 7
"""A tendency is told from this many values over its three hours (at most an hour apart: WMO-No. 306, B/C1.3.3)."""

FRESH = 3
"""A value counts as the station's present one for this many of its report intervals, and a quarter of an hour at least."""


@dataclass(frozen=True)
class Quantity:
    """One quantity at one moment, in ``unit``; the mark is no better than those of what it was made from."""

    name: str
    value: float
    unit: str
    mark: int
    at: int  # [UTC epoch s]


@dataclass(frozen=True)
class Present:
    """Quantities by name, in the order they were worked out. A variable without a fresh reading is missing."""

    at: int
    quantities: dict[str, Quantity]
    tendency_code: int | None  # WMO code table 0200
    rain_reports: int  # believed reports of rain since midnight
    sun_elevation: float  # [deg]
    sun_azimuth: float  # [deg]
    clear_sky: float  # [W/m2]

    def value(self, name: str) -> float:
        """NaN where there is no such quantity."""
        return self.quantities[name].value if name in self.quantities else np.nan


def last_heard(station: int, at: int) -> int | None:
    """When the station's last observation up to ``at`` was made [UTC epoch s]."""
    earlier = Observation.objects.filter(station=station, observed_at__lte=at).order_by("-observed_at")
    return earlier.values_list("observed_at", flat=True).first()


def present(
    station: int, at: int, midnight: int, report_every: int, latitude: float, longitude: float
) -> Present:
    """What the station says at ``at``; rain is counted from ``midnight`` [both UTC epoch s]."""
    rows = read(Observation, [station], min(midnight, at - LOOK_BACK) + 1, at + 1, (*VALUES, *MARKS))
    fresh = at - max(FRESH * report_every, 900)
    quantities = {one.name: one for one in _measured(rows, at, fresh)}
    for work_out in (_moisture, _feels):
        quantities |= {one.name: one for one in work_out(quantities)}
    quantities |= {one.name: one for one in _over_time(rows, at, midnight, quantities)}
    elevation, azimuth = solar_position(at, latitude, longitude)
    return Present(
        at=at,
        quantities=quantities,
        tendency_code=_tendency_code(rows, at) if "pressure_tendency" in quantities else None,
        rain_reports=int(np.isfinite(_believed(rows, "rain_amount")[rows.at > midnight]).sum()),
        sun_elevation=float(elevation),
        sun_azimuth=float(azimuth),
        clear_sky=float(clear_sky_irradiance(elevation)),
    )


def _measured(rows: Rows, at: int, fresh: int) -> Iterator[Quantity]:
    for name, variable in VARIABLES.items():
        marks = rows.columns[f"{name}_mark"]
        if not np.isfinite(marks).any():
            continue  # the station does not measure it
        known = np.flatnonzero(np.isfinite(rows.columns[name]) & (rows.at > fresh))
        if len(known):
            i = known[-1]
            value, mark, when = float(rows.columns[name][i]), int(marks[i]), int(rows.at[i])
            yield Quantity(name, value, variable.unit, mark, when)
        else:
            yield Quantity(name, np.nan, variable.unit, MISSING, at)


def _made(
    name: str,
    unit: str,
    parents: tuple[str, ...],
    quantities: dict[str, Quantity],
    formula: Callable[..., Floats],
) -> Iterator[Quantity]:
    """One quantity from others of the same moment, if all are there and the formula has an answer."""
    if not all(np.isfinite(quantities[p].value) if p in quantities else False for p in parents):
        return
    made_from = [quantities[p] for p in parents]
    value = float(formula(*(p.value for p in made_from)))
    if np.isfinite(value):
        yield Quantity(name, value, unit, _worst(p.mark for p in made_from), min(p.at for p in made_from))


def _worst(marks: Iterator[int]) -> int:
    mark = np.int64(GOOD)
    for each in marks:
        mark = np.int64(no_better(mark, np.int64(each)))
    return int(mark)


def _moisture(quantities: dict[str, Quantity]) -> Iterator[Quantity]:
    air = ("air_temperature", "relative_humidity")
    yield from _made("wet_bulb", "K", (*air, "station_pressure"), quantities, moisture.wet_bulb)
    yield from _made("vapour_pressure", "Pa", air, quantities, moisture.vapour_pressure)


def _feels(quantities: dict[str, Quantity]) -> Iterator[Quantity]:
    """Only from good readings: somebody may dress by it."""
    good = {name: one for name, one in quantities.items() if verdict_of(one.mark) == GOOD}
    yield from _made("wind_chill", "K", ("air_temperature", "wind_speed"), good, comfort.wind_chill)
    yield from _made("heat_index", "K", ("air_temperature", "relative_humidity"), good, comfort.heat_index)


def _over_time(rows: Rows, at: int, midnight: int, now: dict[str, Quantity]) -> Iterator[Quantity]:
    """What needs the readings before; wrong ones are left out."""

    def of(name: str, of_variable: str, unit: str, value: float) -> Iterator[Quantity]:
        if of_variable in now and np.isfinite(value):
            mark = now[of_variable].mark if np.isfinite(now[of_variable].value) else GOOD
            yield Quantity(name, float(value), unit, mark, at)

    if not len(rows):
        return
    change = pressure.tendency(rows.at, _believed(rows, "station_pressure"))[-1]
    yield from of("pressure_tendency", "station_pressure", "Pa", change)
    speed = _believed(rows, "wind_speed")
    direction = _believed(rows, "wind_from_direction")
    yield from of("ten_minute_wind", "wind_speed", "m/s", wind.ten_minute_mean(rows.at, speed)[-1])
    turned = wind.ten_minute_direction(rows.at, speed, direction)[-1]
    yield from of("ten_minute_direction", "wind_from_direction", "deg", turned)
    gust = wind.ten_minute_gust(rows.at, _believed(rows, "wind_gust"))[-1]
    yield from of("ten_minute_gust", "wind_gust", "m/s", gust)
    amount = _believed(rows, "rain_amount")
    today = amount[rows.at > midnight]
    if np.isfinite(today).any():
        yield from of("rain_today", "rain_amount", "mm", np.nansum(today))
    yield from of("rain_intensity", "rain_amount", "mm/h", rain.intensity(rows.at, amount)[-1])


def _believed(rows: Rows, name: str) -> Floats:
    """A variable's values without those called wrong."""
    mark = np.nan_to_num(rows.columns[f"{name}_mark"], nan=MISSING).astype(np.int64)
    return np.where(verdict_of(mark) == WRONG, np.nan, rows.columns[name])


def _tendency_code(rows: Rows, at: int) -> int | None:
    """How pressure went over the three hours before, from values half an hour apart."""
    values = _believed(rows, "station_pressure")
    known = np.isfinite(values)
    wanted = np.linspace(at - pressure.THREE_HOURS, at, SAMPLES)
    if not known.any():
        return None
    samples = np.interp(wanted, rows.at[known], values[known])
    near = np.abs(rows.at[known][:, None] - wanted).min(axis=0) <= pressure.TENDENCY_TOLERANCE
    code = float(pressure.tendency_code(np.where(near, samples, np.nan)))
    return None if np.isnan(code) else int(code)
