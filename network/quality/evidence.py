"""Evidence: what one check saw in one variable of one station."""

from dataclasses import dataclass

import numpy as np

from network.quality.window import Bools, Floats


@dataclass(frozen=True)
class Evidence:
    """How strongly each reading contradicts one check, and what the check had expected.

    ``strain`` has shape (n,): 1 is at the limit and above it fails; NaN says that the check could not
    look, which is never "good". ``expected`` and ``tolerance`` are in the unit of the variable, arrays of
    shape (n,) or one number for all, so that a person can read what was held against the reading.
    """

    check: str
    variable: str
    strain: Floats
    expected: Floats | float | None = None
    tolerance: Floats | float | None = None
    hint: str = ""
    """What would explain it, where the check can name it: a unit, say."""

    def speaks(self) -> Bools:
        """Where the reading fails, shape (n,)."""
        return self.strain > 1.0


def held_against(
    check: str, variable: str, observed: Floats, expected: Floats | float, tolerance: Floats | float
) -> Evidence:
    """Evidence of the usual kind: the distance from what was expected, as a multiple of the tolerance."""
    return Evidence(check, variable, np.abs(observed - expected) / tolerance, expected, tolerance)


def laid_over(where: Bools, part: Floats) -> Floats:
    """Values known only for some readings, laid back over all of them, NaN elsewhere: rows of ``where``'s length."""
    whole = np.full((*part.shape[:-1], where.size), np.nan)
    whole[..., where] = part
    return whole
