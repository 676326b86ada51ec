"""A village's maps in one call: an estimate at every place and time, with its error and its scores."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.variables import VARIABLES, Variable
from network.spatial import elevation, inverse_distance, rain, vicinity, wind
from network.spatial.field import Field
from network.spatial.kriging import heard
from network.spatial.learnt import Learnt
from network.spatial.liveliness import STEADY
from network.spatial.maps import Map, WindMap
from network.spatial.patterns import Mask, Times, distinct, gather, patterns
from network.spatial.rain import Rain
from network.spatial.scores import score
from network.spatial.sites import Grid, Sites

__all__ = ["LEAST", "Map", "TooFew", "WindMap", "map_field", "map_wind"]

LEAST = 3  # stations: two tell a difference, three begin to tell a map
NUMBER_WORDS = ("No", "One", "Two")

Floats = NDArray[np.float64]
Arrays = tuple[Floats, ...]
AtOnce = Callable[[Mask, Times], Arrays]


class TooFew(ValueError):
    """Fewer trusted stations than a map can stand on; its sentence says what is missing."""

    def __init__(self, words: str, stations: int) -> None:
        who = f"{NUMBER_WORDS[stations]} trusted {'station reports' if stations == 1 else 'stations report'}"
        super().__init__(f"{who} {words}; a map needs three.")


def map_field(
    variable: Variable,
    sites: Sites,
    noise: ArrayLike,
    values: ArrayLike,
    places: Grid | Sites,
    learnt: Learnt | None = None,
) -> Map:
    """Map a variable over a grid, or ask for it at some places ('what is it at my gate?').

    Parameters
    ----------
    variable : Variable, one that has a field in the catalogue
    sites : Sites, n stations
    noise : array_like, shape (n,) or one for all
        Standard deviation of each station's own noise [unit of the variable].
    values : array_like, shape (n, t)
        Trusted values only; NaN where a station is silent or not trusted.
    places : Grid or Sites, g cells or places
        A bare grid takes its elevation from the stations.
    learnt : Learnt
        What the village's past teaches of the variable; without it the catalogue is believed.

    Raises TooFew when no time has three trusted stations, ValueError for a variable that has no field.
    """
    measured, noises = _shaped(sites, noise, values)
    known, targets = learnt or Learnt(_field(variable)), targets_of(sites, places)
    if variable.summary == "sum":  # most times are dry everywhere, and one such time is like the next
        first, which = distinct(measured)
        return _map(variable, sites, noises, measured[:, first], targets, known).at_times(which)
    return _map(variable, sites, noises, measured, targets, known)


def _map(
    variable: Variable, sites: Sites, noises: Floats, measured: Floats, targets: Sites, known: Learnt
) -> Map:
    amounts = variable.summary == "sum"
    at, without = (_amount, _amount_without) if amounts else (_value, _value_without)

    def stations(mask: Mask, times: Times) -> tuple[Sites, Floats, Learnt, Floats]:
        return sites[mask], noises[mask], known, measured[np.ix_(mask, times)]

    def at_targets(mask: Mask, times: Times) -> Arrays:
        estimate, *others = at(*stations(mask, times), targets)
        return np.clip(estimate, variable.limits.low, variable.limits.high, out=estimate), *others

    present = np.isfinite(measured)
    (estimate, error, *of_rain), (expected, expected_error) = _mapped(
        variable.words, present, at_targets, lambda *who: without(*stations(*who))
    )
    plain = inverse_distance.leave_one_out(sites, measured)
    own_noise = heard(noises, known.nugget)[:, None]
    return Map(
        estimate,
        error,
        present.sum(axis=0),
        score(expected, measured, np.hypot(expected_error, own_noise)),
        score(plain, np.where(np.isfinite(expected), measured, np.nan)),
        variable.limits,
        known.method,
        Rain(of_rain[0], of_rain[1], of_rain[2], known.root) if amounts else None,
    )


def map_wind(
    sites: Sites,
    noise: ArrayLike,
    eastward: ArrayLike,
    northward: ArrayLike,
    places: Grid | Sites,
    learnt: Learnt | None = None,
) -> WindMap:
    """Map the wind as vectors; like ``map_field``, from both parts of it at one height above ground [m/s].

    Give it only stations sited for wind. A station with one part missing is silent. What is ``learnt`` is of
    the parts, both together.
    """
    u, noises = _shaped(sites, noise, eastward)
    v, _ = _shaped(sites, noise, northward)
    known = learnt or Learnt(wind.component_field(_field(VARIABLES["wind_speed"])))
    targets = targets_of(sites, places)

    def stations(mask: Mask, times: Times) -> tuple[Sites, Floats, Learnt, Floats, Floats]:
        here = np.ix_(mask, times)
        return sites[mask], noises[mask], known, u[here], v[here]

    present = np.isfinite(u) & np.isfinite(v)
    (east, north, error), (expected_u, expected_v, expected_error) = _mapped(
        "wind",
        present,
        lambda *who: wind.vectors(*stations(*who), targets),
        lambda *who: wind.vectors_without(*stations(*who)),
    )
    measured, expected = np.vstack([u, v]), np.vstack([expected_u, expected_v])
    departure_error = np.tile(np.hypot(expected_error, heard(noises, known.nugget)[:, None]), (2, 1))
    plain = np.vstack(
        [inverse_distance.leave_one_out(sites, np.where(present, part, np.nan)) for part in (u, v)]
    )
    return WindMap(
        east,
        north,
        error,
        present.sum(axis=0),
        score(expected, measured, departure_error),
        score(plain, np.where(np.isfinite(expected), measured, np.nan)),
    )


def _mapped(words: str, present: Mask, at: AtOnce, without: AtOnce) -> tuple[list[Floats], list[Floats]]:
    """Arrays (g, t) at the targets, and (n, t) at the stations by their neighbours, pattern by pattern."""
    enough = [(mask, times) for mask, times in patterns(present) if mask.sum() >= LEAST]
    if not enough:
        raise TooFew(words, int(present.sum(axis=0).max(initial=0)))
    count = present.shape[1]
    at_targets = gather([(times, at(mask, times)) for mask, times in enough], count)
    at_stations = gather([(times, _rows(mask, without(mask, times))) for mask, times in enough], count)
    return at_targets, at_stations


def _rows(mask: Mask, arrays: Arrays) -> Arrays:
    """Arrays of some stations as arrays of all, NaN for the rest."""
    whole = tuple(np.full((mask.size, array.shape[1]), np.nan) for array in arrays)
    for target, array in zip(whole, arrays, strict=True):
        target[mask] = array
    return whole


def _value(sites: Sites, noise: Floats, learnt: Learnt, values: Floats, targets: Sites) -> Arrays:
    if len(sites) > vicinity.MANY and learnt.method == "kriging":
        own = heard(noise, learnt.nugget)
        estimate, error = vicinity.estimate(sites, own, learnt.field, values, targets)
        return estimate, learnt.widen * error[:, None]
    carry = learnt.operator(sites, noise, targets)
    if learnt.steadiness == STEADY:
        return carry.estimate(values), carry.error[:, None]
    return carry.estimate(values), np.outer(carry.error, learnt.liveliness(sites, noise, values))


def _value_without(sites: Sites, noise: Floats, learnt: Learnt, values: Floats) -> Arrays:
    return learnt.without(sites, noise, values)


def _amount(sites: Sites, noise: Floats, learnt: Learnt, values: Floats, targets: Sites) -> Arrays:
    found = rain.at(sites, noise, learnt, values, targets)
    return found.amount, found.error, found.chance, found.middle, found.spread


def _amount_without(sites: Sites, noise: Floats, learnt: Learnt, values: Floats) -> Arrays:
    found = rain.without(sites, noise, learnt, values)
    return found.amount, found.error


def _shaped(sites: Sites, noise: ArrayLike, values: ArrayLike) -> tuple[Floats, Floats]:
    """Values (n, t) and noise (n,) as arrays, or a sentence about their shapes."""
    measured = np.asarray(values, dtype=np.float64)
    if measured.ndim != 2 or len(measured) != len(sites):
        raise ValueError(
            f"Values of shape {measured.shape} do not fit {len(sites)} stations: give (stations, times)."
        )
    return measured, np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),))


def _field(variable: Variable) -> Field:
    if variable.field is None:
        raise ValueError(f"The catalogue describes no field of {variable.words}, so it has no map.")
    return Field.of(variable.field)


def targets_of(sites: Sites, places: Grid | Sites) -> Sites:
    """The places themselves, or the cells of a bare grid with their ground drawn through the stations."""
    if isinstance(places, Sites):
        return places
    bare = places.sites()
    return Sites.at(bare.east, bare.north, elevation.from_stations(sites, bare.east, bare.north))
