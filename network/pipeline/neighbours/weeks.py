"""The weeks of each station as the long run looks at them: records, from readings and comparisons."""

from collections.abc import Mapping

import numpy as np

from network.models import Comparison, Decision, Observation
from network.models.comparison import DEPARTURES, ERRORS
from network.models.observation import MARKS, VALUES
from network.models.storage import Floats, Rows, read
from network.pipeline.ledger import blocks
from network.pipeline.metadata.stretches import Stretch, stretches
from network.pipeline.neighbours.frames import RAIN_SPAN, amounts, means
from network.pipeline.verdicts import steward
from network.quality.record import Record
from network.quality.verdict import MISSING, senseless
from network.science.moisture import saturation_vapour_pressure
from network.science.pressure import sea_level_pressure
from network.science.sun import clear_sky_irradiance, solar_position
from network.science.variables import VARIABLES
from stations.models import Village

NEVER_COMPARED = ("irradiance", "light_level")
"""Variables without a field, of which the median of the others is still worth knowing."""


def records(village: Village, begins_at: int, ends_at: int) -> list[Record]:
    """Each station's record for each stretch between two changes of its metadata, to the last frame known."""
    places = stretches(village, begins_at, ends_at)
    stations = {place.station for place in places}
    rows = read(Observation, stations, begins_at + 1, ends_at + 1, (*VALUES, *MARKS))
    if not len(rows):
        return []
    last = -(-int(rows.at.max()) // blocks.FRAME) * blocks.FRAME
    at = np.arange(begins_at + blocks.FRAME, last + 1, blocks.FRAME)
    compared = read(Comparison, stations, begins_at + 1, ends_at + 1, (*DEPARTURES, *ERRORS))
    decisions = list(Decision.objects.standing().filter(station__in=stations).touching(begins_at, ends_at))
    values = {place.station: _values(rows.of(place.station), at, place, decisions) for place in places}
    middle = at - blocks.FRAME / 2
    elevation, azimuth = solar_position(middle, *village.centre)
    clear_sky = clear_sky_irradiance(elevation)
    seen = []
    for place in places:
        part = slice(*np.searchsorted(at, [place.begins_at, place.ends_at], side="right"))
        if part.stop - part.start > 0:
            table = _compared(compared.of(place.station), at[part])
            own = {name: frames[part] for name, frames in values[place.station].items()}
            _reduce(own, table, place.elevation)
            beside = own | ({"rain_amount": own["rain_in_the_hour"]} if "rain_amount" in own else {})
            departures = {
                name: np.where(np.isnan(beside[name]), np.nan, table[name])
                for name in DEPARTURES
                if name in own
            }
            seen.append(
                Record(
                    station=place.station,
                    seconds=at[part],
                    values={name: own[name] for name in own if name in VARIABLES},
                    expected={name: beside[name] - departures[name] for name in departures},
                    departures=departures,
                    errors={name: table[f"{name}_error"] for name in departures},
                    around=_around(values, place.station, part),
                    latitude=place.latitude,
                    longitude=place.longitude,
                    elevation=place.elevation,
                    report_every=place.report_every,
                    sun_elevation=elevation[part],
                    sun_azimuth=azimuth[part],
                    clear_sky=clear_sky[part],
                    ranges=place.ranges,
                    resolution=place.resolution,
                    noise=place.noise,
                    overrides=place.thresholds,
                )
            )
    return seen


def _values(rows: Rows, at: np.ndarray, place: Stretch, decisions: list[Decision]) -> dict[str, Floats]:
    """A station's variables at the frames; what cannot be is not there, nor what is of another variable, in another unit
    or no more of the weather, nor what was read while somebody was at work.

    What a steward rejected is: it is wrong because the checks doubt it, so they must go on seeing it.
    """
    frames = {
        f"{name} as said": means(rows.at, rows.columns[name], at)
        for name in ("air_temperature", "dew_point", "sea_level_pressure")
    }
    for name in VALUES:
        values = rows.columns[name]
        if not np.isfinite(values).any():
            continue
        limits = VARIABLES[name].limits
        possible = (values >= limits.low) & (values <= limits.high)
        possible &= ~steward.maintained(name, place.station, rows.at, decisions)
        marks = np.nan_to_num(rows.columns[f"{name}_mark"], nan=MISSING).astype(np.int64)
        told_nothing = senseless(marks)
        if name == "rain_amount":  # the dry reports between are in the same unit
            told_nothing = near(rows.at, told_nothing, blocks.DAY)
        if name != "sea_level_pressure":  # it is reduced anew
            possible &= ~told_nothing
        values = np.where(possible, values, np.nan)
        if VARIABLES[name].summary == "sum":
            frames[name] = amounts(rows.at, values, at, blocks.FRAME, place.report_every)
            frames["rain_in_the_hour"] = amounts(rows.at, values, at, RAIN_SPAN, place.report_every)
        else:
            frames[name] = means(rows.at, values, at)
    return frames


def near(seconds: np.ndarray, where: np.ndarray, reach: float) -> np.ndarray:
    """Which times (n,) are no further than ``reach`` [s] from one of those marked in ``where`` (n,)."""
    marked = seconds[where]
    before, after = (
        np.searchsorted(marked, seconds + by, side) for by, side in ((-reach, "left"), (reach, "right"))
    )
    return after > before


def _reduce(own: dict[str, Floats], table: dict[str, Floats], elevation: float) -> None:
    """Reduce the pressure with the temperature that the neighbours expect, where they do, in its departure too.

    With its own a false thermometer would make a false barometer of a sound one.
    """
    if "station_pressure" not in own or "air_temperature" not in own:
        return
    said = own["air_temperature as said"], own["dew_point as said"]
    expected = [
        air - np.nan_to_num(table[name])
        for name, air in zip(("air_temperature", "dew_point"), said, strict=True)
    ]
    with_own, anew = (
        sea_level_pressure(own["station_pressure"], elevation, air, _vapour(dew_point))
        for air, dew_point in (said, expected)
    )
    own["sea_level_pressure"] = own["sea_level_pressure as said"] * anew / with_own
    table["sea_level_pressure"] = (
        table["sea_level_pressure"] + own["sea_level_pressure"] - own["sea_level_pressure as said"]
    )


def _vapour(dew_point: Floats) -> Floats:
    """The pressure of the vapour [Pa]; without a hygrometer the air is taken as dry."""
    return np.nan_to_num(saturation_vapour_pressure(dew_point))


def _compared(rows: Rows, at: np.ndarray) -> dict[str, Floats]:
    """A station's comparisons laid over frames; NaN where there are none."""
    place = np.searchsorted(at, rows.at)
    there = (place < len(at)) & (rows.at >= (at[0] if len(at) else 0))
    table = {}
    for name, column in rows.columns.items():
        table[name] = np.full(len(at), np.nan)
        table[name][place[there]] = column[there]
    return table


def _around(values: Mapping[int, dict[str, Floats]], station: int, part: slice) -> dict[str, Floats]:
    """The median over the other stations, of what is never compared."""
    around = {}
    for name in NEVER_COMPARED:
        others = [own[name][part] for other, own in values.items() if other != station and name in own]
        if others:
            around[name] = _median(np.array(others))
    return around


def _median(table: Floats) -> Floats:
    """Median of each column, passing over NaN; NaN where a column holds nothing else."""
    ordered = np.sort(table, axis=0)  # NaN come last
    known = np.isfinite(table).sum(axis=0)
    columns = np.arange(table.shape[1])
    low, high = np.maximum(known - 1, 0) // 2, known // 2
    middle = (ordered[low, columns] + ordered[np.minimum(high, len(table) - 1), columns]) / 2
    return np.where(known > 0, middle, np.nan)
