"""How alike two places are: the model of a variable's field over the village."""

from dataclasses import dataclass
from math import cos, inf, radians, sin, sqrt
from typing import Literal, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial.distance import cdist

from network.science.variables import FieldPrior
from network.spatial.sites import Sites

Floats = NDArray[np.float64]
Kind = Literal["exponential", "matern", "spherical", "linear"]


@dataclass(frozen=True)
class Field:
    """A field about a trend, in the variable's own unit and metres.

    ``spread`` is the standard deviation about the trend; ``reach`` [m] is the length in the kind's own
    formula (see ``semivariogram``). The trend has a mean, about which nothing is known unless ``mean_spread``
    is finite: then the values are departures that average zero give or take that much. It rises by
    ``gradient`` per metre of elevation, known to ``gradient_spread``: 0 takes the gradient as given, a wide
    one lets the stations say.

    Places along ``bearing`` [degrees clockwise from north] may stay alike further than places across it,
    ``stretch`` times as far: ``reach`` is then the geometric mean of the two. A metre of height may count as
    ``layering`` metres of distance: air lies in layers, and cold air in pools.

    ``slopes`` say how strongly the trend may follow what else is known of the ground: for each column of
    ``Sites.cover`` the standard deviation of a slope about nought [unit per unit of the column].
    """

    spread: float
    reach: float
    gradient: float = 0.0
    gradient_spread: float = 0.0
    mean_spread: float = inf
    kind: Kind = "exponential"
    stretch: float = 1.0
    bearing: float = 0.0
    layering: float = 0.0
    slopes: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if not (self.spread > 0 and self.reach > 0):
            raise ValueError("A field needs a spread and a reach above zero.")
        if not (self.stretch > 0 and self.layering >= 0):
            raise ValueError("A field's stretch is a ratio above zero, and its layering is not below zero.")
        object.__setattr__(self, "slopes", tuple(self.slopes))
        if self.gradient_spread < 0 or self.mean_spread <= 0:
            raise ValueError("A gradient's spread cannot be below zero, nor a mean's spread be zero or less.")
        if self.kind == "linear" and self.mean_spread != inf:
            raise ValueError("A linear field has no mean to be near: leave its mean_spread infinite.")

    @classmethod
    def of(cls, prior: FieldPrior, kind: Kind = "exponential") -> Self:
        """The field a variable's entry in the catalogue describes."""
        return cls(prior.spread, prior.reach, prior.gradient, prior.gradient_spread, kind=kind)

    def apart(self, ones: Sites, others: Sites) -> Floats:
        """How far apart places (a) and others (b) are to this field [m], shape (a, b)."""
        axes = self._axes(ones)
        return np.asarray(cdist(axes, axes if others is ones else self._axes(others)))

    def _axes(self, sites: Sites) -> Floats:
        """Places on axes along which this field's distance is the straight line."""
        plane = sites.plane
        if self.stretch != 1.0:
            turn = radians(self.bearing)
            along = np.array([sin(turn), cos(turn)]) / sqrt(self.stretch)
            across = np.array([cos(turn), -sin(turn)]) * sqrt(self.stretch)
            plane = plane @ np.column_stack([along, across])
        return np.column_stack([plane, self.layering * sites.elevation]) if self.layering else plane

    def semivariogram(self, distance: ArrayLike) -> Floats:
        """Half the mean squared difference of two places' residuals [unit squared], by their distance [m].

        Sources: Matheron (1963) and Cressie (1993), Statistics for Spatial Data, section 2.3.1; the Matérn
        kind has smoothness 3/2 as in Rasmussen and Williams (2006), eq. 4.17. The linear kind has no sill.
        """
        h = np.asarray(distance, dtype=np.float64) / self.reach
        match self.kind:
            case "exponential":
                shape = -np.expm1(-h)
            case "matern":
                shape = 1 - (1 + sqrt(3) * h) * np.exp(-sqrt(3) * h)
            case "spherical":
                near = np.minimum(h, 1.0)
                shape = 1.5 * near - 0.5 * near**3
            case "linear":
                shape = h
        return np.asarray(self.spread**2 * shape)

    def sill(self, extent: float) -> float:
        """The variance from which the semivariogram is taken to give a covariance.

        The linear kind has none. Adding one constant to every covariance changes no estimate while the mean
        is unknown, so any that makes the covariance of stations within ``extent`` [m] positive will do.
        """
        if self.kind == "linear":
            return 2 * float(self.semivariogram(extent)) or self.spread**2
        return self.spread**2

    def covariance(self, distance: ArrayLike, extent: float = 0.0) -> Floats:
        """Covariance of two places' residuals [unit squared] by their distance [m]; extent as in ``sill``."""
        if self.kind == "exponential":  # in one step: the semivariogram's care for near places costs three
            return np.asarray(self.spread**2 * np.exp(np.asarray(distance) / -self.reach))
        return np.asarray(self.sill(extent) - self.semivariogram(distance))
