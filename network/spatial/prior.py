"""What is believed of a field before its stations are asked, and how firmly."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike

from network.science.variables import FieldPrior
from network.spatial.field import Field
from network.spatial.sites import Sites

AS_CATALOGUED = 0.7  # a factor of two either way: common practice for a village nobody has measured
FROM_VALUES = 3.0  # a factor of twenty either way: no belief worth the name
NOISE_DOUBT = 0.5  # instruments are about as good as their makers and their sites say


@dataclass(frozen=True)
class Prior:
    """The field one expects; its spread and reach, and the noise, are right but for so many natural logs."""

    field: Field
    doubt: float
    noise_doubt: float = NOISE_DOUBT

    @classmethod
    def of(cls, entry: FieldPrior) -> Self:
        """What the catalogue says of a variable over a village."""
        return cls(Field.of(entry), AS_CATALOGUED)

    @classmethod
    def from_values(cls, sites: Sites, values: ArrayLike) -> Self:
        """Next to nothing: as wide a field as the values, over a sixth of the country they span.

        For stations that lie much further apart than those of a village, of which the catalogue knows nothing.
        """
        measured = np.asarray(values, dtype=np.float64).reshape(len(sites), -1)
        spread = float(np.sqrt(np.nanmean(np.nanvar(measured, axis=0, ddof=1))))
        span = float(np.hypot(*np.ptp(sites.plane, axis=0)))
        return cls(Field(spread, span / 6), FROM_VALUES, FROM_VALUES)
