"""How well a field explains what the stations said: the restricted likelihood, pooled over times."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, log
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.linalg.lapack import dpotrf, dtrtrs
from scipy.spatial.distance import cdist

from network.spatial.field import Field
from network.spatial.patterns import patterns
from network.spatial.sites import Sites

Floats = NDArray[np.float64]
Spoken = tuple[Sites, Floats, Floats]  # stations (n), their noise (n,), their values (n, t) without NaN


def by_pattern(sites: Sites, noise: ArrayLike, values: ArrayLike, least: int = 2) -> list[Spoken]:
    """Values (n, t) with NaN as one piece for each set of at least so many stations that spoke together."""
    measured = np.asarray(values, dtype=np.float64)
    own_noise = np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),))
    return [
        (sites[mask], own_noise[mask], measured[np.ix_(mask, times)])
        for mask, times in patterns(np.isfinite(measured))
        if mask.sum() >= least
    ]


@dataclass(frozen=True, eq=False)
class Piece:
    """Stations that spoke together, with all that is the same for every field worked out once."""

    sites: Sites
    noise: Floats  # (n,) as stated
    centred: Floats  # (n, t): values about the mean of their time
    apart: Floats  # (n, n) on the plane [m]
    ground: Floats  # (n, 1 + k): elevation, and each column of the cover, about the stations' middle

    @classmethod
    def of(cls, sites: Sites, noise: Floats, values: Floats) -> Self:
        cover = np.empty((len(sites), 0)) if sites.cover is None else sites.cover
        heights = np.column_stack([sites.elevation, cover])
        return cls(
            sites,
            noise,
            values - values.mean(axis=0),
            np.asarray(cdist(sites.plane, sites.plane)),
            heights - heights.mean(axis=0),
        )

    def surprise(self, field: Field, noise: Floats) -> float:
        """Minus the logarithm of the restricted likelihood, were the stations' noise (n,) this."""
        on_the_plane = field.stretch == 1.0 and not field.layering
        covariance = field.covariance(self.apart if on_the_plane else field.apart(self.sites, self.sites))
        if field.gradient_spread or field.slopes:
            scales = (field.gradient_spread, *field.slopes)
            rises = self.ground[:, : len(scales)] * np.array(scales)[: self.ground.shape[1]]
            covariance += rises @ rises.T
        covariance.flat[:: len(noise) + 1] += noise**2
        # By LAPACK's own names: around matrices so small the care of the usual functions costs many times the work.
        triangle, failed = dpotrf(covariance, lower=1)
        if failed:
            return inf
        both = np.empty((len(noise), 1 + self.centred.shape[1]), order="F")
        both[:, 0] = 1.0
        both[:, 1:] = self.centred - field.gradient * self.ground[:, :1]
        white, _ = dtrtrs(triangle, both, lower=1, overwrite_b=1)
        ones, half = white[:, 0], white[:, 1:]
        precision = float(ones @ ones)
        misfit = (half**2).sum() - ((ones @ half) ** 2).sum() / precision
        determinant = np.log(triangle.diagonal()).sum() + 0.5 * log(precision)
        return float(self.centred.shape[1] * determinant + 0.5 * misfit)


def surprise(pieces: Sequence[Spoken], field: Field) -> float:
    """Minus the logarithm of the restricted likelihood, up to a constant; infinite for an impossible field.

    The mean of each time is nobody's business here: it is integrated out, so that few stations do not make
    the field look tamer than it is. Times count as independent of one another.

    Source: Patterson and Thompson (1971), Biometrika 58, 545-554 (from memory); as a Gaussian process,
    Rasmussen and Williams (2006), eq. 2.45.
    """
    return sum(Piece.of(*piece).surprise(field, piece[1]) for piece in pieces)
