"""What a station's neighbours lead one to expect of it, when one of them may be false."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.spatial.field import Field
from network.spatial.kriging import factorise, operator_from
from network.spatial.leave_one_out import leave_one_out_from
from network.spatial.patterns import patterns
from network.spatial.sites import Sites

TOO_STRANGE = 3.5  # standard errors, after Iglewicz and Hoaglin (1993), read second-hand
LARGEST_SHARE_LEFT_OUT = 1 / 3  # beyond it nobody can say who is right

WORTH_SHARING = 1.5
"""Standard errors from which another's departure to the same side counts as one (common practice)."""

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Expected:
    """What the trusted others say of each station at each time; arrays of shape (n, t)."""

    expected: Floats
    error: Floats  # of the field there; a departure has hypot(error, noise)
    left_out: Bools  # trusted, but too strange to be let speak for the others
    used: NDArray[np.intp]  # how many others spoke
    shared: (
        Floats  # how far another trusted station departs to the same side, as a share of one's own departure
    )


def expected_from_neighbours(
    sites: Sites, noise: ArrayLike, field: Field, values: ArrayLike, trusted: ArrayLike, least: int = 3
) -> Expected:
    """The expected value of every station, trusted or not, reporting or not.

    At each time the trusted station that departs most from the others, if by more than ``TOO_STRANGE``
    standard errors (its own noise included), is left out and the rest worked out anew, until nobody is
    strange or a third are left out. While the model holds, one false value always makes its own station the
    strangest: no covariance exceeds the product of its two standard deviations.

    Parameters
    ----------
    sites : Sites, n stations
    noise : array_like, shape (n,) or one for all
        Standard deviation of each station's own noise [unit of the values].
    field : Field
    values : array_like, shape (n, t)
        NaN where a station is silent.
    trusted : array_like of bool, shape (n, t)
        Who may speak for the others.
    least : int
        Stations it takes, the one asked about included: with 3, nothing is expected of a station unless two
        others are trusted. (Of these one may yet be left out; ``used`` then says 1, and the error is wide.)

    Returns
    -------
    Expected
        NaN where too few others are trusted.
    """
    measured = np.asarray(values, dtype=np.float64)
    own_noise = np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),))
    speaking = np.asarray(trusted, dtype=np.bool_) & np.isfinite(measured)
    others_at_first = speaking.sum(axis=0) - speaking
    kept = speaking.copy()
    may_leave = np.floor(speaking.sum(axis=0) * LARGEST_SHARE_LEFT_OUT + 1e-9).astype(int)
    expected, error = _by_the_kept(sites, own_noise, field, measured, kept)
    pending = np.flatnonzero(may_leave > 0)
    while pending.size:
        departure = np.abs(measured[:, pending] - expected[:, pending])
        strangeness = departure / np.hypot(error[:, pending], own_noise[:, None])
        strangeness = np.where(kept[:, pending] & np.isfinite(strangeness), strangeness, 0.0)
        worst = strangeness.argmax(axis=0)
        too_strange = strangeness.max(axis=0) > TOO_STRANGE
        pending, worst = pending[too_strange], worst[too_strange]
        kept[worst, pending] = False
        may_leave[pending] -= 1
        expected[:, pending], error[:, pending] = _by_the_kept(
            sites, own_noise, field, measured[:, pending], kept[:, pending]
        )
        pending = pending[may_leave[pending] > 0]
    too_few = others_at_first < least - 1
    expected[too_few] = error[too_few] = np.nan
    departures = (measured - expected) / np.hypot(error, own_noise[:, None])
    return Expected(expected, error, speaking & ~kept, kept.sum(axis=0) - kept, _shared(departures, speaking))


def _shared(departures: Floats, speaking: Bools) -> Floats:
    """The largest departure of another station that may speak, as a share of one's own; 0 where none, shape (n, t).

    ``departures`` are in their own standard errors. Two that depart alike see weather rather than faults.
    """
    shared = np.zeros(departures.shape)
    if len(departures) < 2:
        return shared
    for side in (departures, -departures):
        others = np.where(speaking & (side >= WORTH_SHARING), side, 0.0)
        order = np.sort(others, axis=0)
        highest = np.where(others == order[-1], order[-2], order[-1])  # of the others than oneself
        np.divide(highest, side, out=shared, where=side > 0)
    return shared


def _by_the_kept(
    sites: Sites, noise: Floats, field: Field, values: Floats, kept: Bools
) -> tuple[Floats, Floats]:
    """Expected values and errors, both (n, t), of all stations by those kept at each time."""
    expected, error = np.full(values.shape, np.nan), np.full(values.shape, np.nan)
    for mask, times in patterns(kept):
        if not mask.any():
            continue
        spoken = values[np.ix_(mask, times)]
        factor = factorise(sites[mask], noise[mask], field)
        among, among_error = leave_one_out_from(factor, noise[mask], spoken)
        expected[np.ix_(mask, times)], error[np.ix_(mask, times)] = among, among_error[:, None]
        if not mask.all():
            beyond = operator_from(factor, sites[~mask])
            expected[np.ix_(~mask, times)] = beyond.estimate(spoken)
            error[np.ix_(~mask, times)] = beyond.error[:, None]
    return expected, error
