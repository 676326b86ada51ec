"""Helpers that work with readings: the station's own, and its neighbours'."""

from collections.abc import Mapping
from math import exp
from typing import Any

import numpy as np

from network.models.hours import HOUR, read_hours
from network.pipeline.metadata.tongue import NotUnderstoodUnit, apply
from network.pipeline.records.beside import Neighbours, by_hour, neighbours, said
from network.science import bench as found
from network.science.sun import clear_sky_irradiance, solar_position
from network.science.variables import VARIABLES
from network.science.wind import at_height
from network.web.bench.helper import DAY, Bench, Found, NotFound
from network.web.bench.typed import rotor_parameters

WINDY = 3.0
"""[m/s] From this on by a neighbour, an hour tells of a rotor."""

FEWEST_HOURS = 12
OPEN_LAND = 0.03
"""[m] Roughness length by which heights are made alike; mended gardens are rougher, hence the wide error."""

ONE_ALONE = 0.2
"""[1] Doubt of a rotor's factor from a single neighbour: common practice."""

HIGH_SUN = 45.0
"""[deg] Below this a clear noon is not yet full sun."""

SCALE_HEIGHT = 8000.0
"""[m] In which pressure falls to 37 %."""


def wind(bench: Bench, asked: Mapping[str, Any]) -> Found:
    """The factor of a rotor from the neighbours on windy hours of the last fortnight."""
    begins_at, ends_at = _span(bench, 14)
    beside = neighbours(bench.station, bench.variable.name, begins_at, ends_at)
    lately = said(bench.station, bench.channel, 14 * DAY)
    frequency = by_hour(lately.seconds, lately.values, begins_at, ends_at) / (asked.get("period") or 1.0)
    offset = bench.figure("offset", 0.0)
    speed, doubt = _at_own_place(bench, beside)
    windy = (beside.hours > WINDY) & (frequency > 0)
    enough = windy.sum(axis=1) >= FEWEST_HOURS
    if not enough.any():
        raise NotFound(
            f"It takes {FEWEST_HOURS} hours with more than {WINDY:g} m/s at a neighbour while this rotor turned; "
            "the last fortnight has fewer. Come back after a windy day."
        )
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.log(np.where(windy, (speed - offset) / frequency, np.nan))[enough]
    told = found.from_neighbours(np.zeros(ratio.shape[1]), ratio)
    factor = exp(told.value)
    # Every garden has a wind of its own, which no number of neighbours averages away.
    own = doubt / float(np.nanmedian(np.where(windy, speed, np.nan)[enough]))
    error = factor * float(np.hypot(told.error if np.isfinite(told.error) else ONE_ALONE, own))
    count = int(enough.sum())
    who = "one neighbour" if count == 1 else f"{count} neighbours"
    words = (
        f"A pulse is about {factor:.3f} ± {error:.3f} m of wind, so that this rotor turns as its neighbours' wind "
        f"would have it ({who}, {int(windy[enough].any(axis=0).sum())} windy hours; their speeds brought to its height and "
        "its ground). A village's gardens differ in wind, and most of the doubt is that: a drive or a reference tells better."
    )
    parameters = rotor_parameters(bench, asked, factor, offset)
    return Found("rotor", parameters, words, f"from {who} on windy hours, ±{error:.2g} m")


def pressure(bench: Bench, asked: Mapping[str, Any]) -> Found:
    """What to add to a barometer, from the neighbours' sea-level pressure in the last fortnight."""
    if bench.present and bench.present.kind != "gain_offset":
        raise NotFound(
            "It has a calibration of another kind: change that one, or compare at a few pressures."
        )
    begins_at, ends_at = _span(bench, 14)
    beside = neighbours(bench.station, "sea_level_pressure", begins_at, ends_at)
    own = read_hours(bench.station.pk, "sea_level_pressure", begins_at, ends_at)
    together = np.isfinite(own) & np.isfinite(beside.hours)
    if not (together.sum(axis=1) >= FEWEST_HOURS).any():
        raise NotFound(
            f"It takes {FEWEST_HOURS} hours of this barometer and a neighbour's, both believed, in the last fortnight. "
            "A barometer reduced to sea level already is not believed: let the device send what it measures."
        )
    told = found.from_neighbours(own, beside.hours)
    height = bench.place.elevation if bench.place else 0.0
    moved = told.value * exp(-height / SCALE_HEIGHT)
    error = told.error if np.isfinite(told.error) else 100.0
    offset = bench.figure("offset", 0.0) + moved
    words = (
        f"{abs(moved) / 100:.2f} ± {error / 100:.2f} hPa {'more' if moved > 0 else 'less'} than now brings its sea-level "
        f"pressure to that of its {len(beside.names)} neighbours. A metre of elevation is 0.12 hPa: is that right, too?"
    )
    parameters = {"gain": bench.figure("gain", 1.0), "offset": round(offset, 1)}
    return Found(
        "gain_offset",
        parameters,
        words,
        f"from {len(beside.names)} neighbours' sea-level pressure, ±{error / 100:.2g} hPa",
    )


def noon(bench: Bench, asked: Mapping[str, Any]) -> Found:
    """A light sensor's ends, or a pyranometer's factor, from the nights and clear noons of the last ten days."""
    if bench.place is None:
        raise NotFound("Say first where it stands: the sun depends on it.")
    lately = said(bench.station, bench.channel, 10 * DAY)
    elevation, _ = solar_position(lately.seconds, bench.place.latitude, bench.place.longitude)
    if bench.variable.name == "irradiance":
        return _irradiance(bench, lately.values, lately.unit, lately.seconds, elevation)
    high = min(20.0, float(np.nanmax(elevation, initial=-90.0)) - 8.0)
    dark, bright = found.dark_and_bright(lately.values, elevation, max(high, 5.0))
    if not np.isfinite(dark + bright) or dark == bright:
        raise NotFound(
            "It takes a night and a noon with the sun out in the last ten days. Come back after a clear day."
        )
    unit, kind = ("lx", "light_lux") if bench.channel.unit == "lx" else ("", "light")
    words = _ends(dark, bright, unit)
    highest = float(np.nanmax(elevation))
    if highest < HIGH_SUN:
        words += (
            f" But the sun stood no higher than {highest:.0f}° in these days: in summer it will say more."
        )
        before = bench.figure("bright")
        if before is not None and (before - bright) * (bright - dark) > 0:
            words += f" So full sun stays {before:g}, as it was."
            bright = before
    dark = max(dark, 1.0) if kind == "light_lux" else dark
    return Found(kind, {"dark": dark, "bright": bright}, words, _NOON)


_NOON = "from its nights and clear noons of ten days"


def _irradiance(bench: Bench, values: Any, unit: str, seconds: Any, elevation: Any) -> Found:
    try:
        raw = apply("irradiance", None, {}, unit, values, seconds)
    except NotUnderstoodUnit as problem:
        raise NotFound(str(problem)) from problem
    gain = found.clear_sky_gain(raw, clear_sky_irradiance(elevation))
    if not np.isfinite(gain.value):
        raise NotFound(
            "It takes hours with the sun well up in the last ten days. Come back after a clear day."
        )
    words = (
        f"Times {gain.value:.3f} ± {gain.error:.3f}, its clearest hours agree with a clear sky. Only where at least one "
        "noon of these ten days was clear: under cloud alone it would be raised too far."
    )
    return Found(
        "gain_offset", {"gain": float(f"{gain.value:.4g}"), "offset": 0.0}, words, f"{_NOON}, by a clear sky"
    )


def _ends(dark: float, bright: float, unit: str) -> str:
    return (
        f"It says {dark:g} {unit}".strip() + f" at night and {bright:g} {unit}".rstrip() + " at its clearest."
    )


def _span(bench: Bench, days: int) -> tuple[int, int]:
    """The last days up to the newest report, in whole hours."""
    ends_at = int(bench.now) // HOUR * HOUR
    return ends_at - days * DAY, ends_at


def _at_own_place(bench: Bench, beside: Neighbours) -> tuple[Any, float]:
    """The neighbours' wind at this rotor's height and ground, and the doubt of it [m/s], both by the catalogue."""
    speed, own = beside.hours, bench.channel.instrument.height
    if own is not None:
        moved = at_height(speed, beside.heights[:, None], own, OPEN_LAND)
        speed = np.where(np.isfinite(moved), moved, speed)
    field = VARIABLES["wind_speed"].field
    if field is None or bench.place is None:
        return speed, 0.0
    above = np.nan_to_num(bench.place.elevation - beside.elevations)
    lifted = np.maximum(speed + field.gradient * above[:, None], 0.0)
    climb = float(np.abs(np.median(above))) if above.size else 0.0
    return lifted, float(np.hypot(field.spread, field.gradient_spread * climb))
