"""The wind rose: how often the wind came from each side, and how strongly."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.wind import beaufort

SECTORS = 16
"""North, north-north-east ... clockwise, each centred on its direction (common practice)."""

CALM = 0.5
"""[m/s] A slower wind has no direction to count (aviation practice, read second-hand)."""

CLASSES = ((0, 1), (2, 2), (3, 3), (4, 4), (5, 12))
"""Beaufort forces, first and last of each class of speed."""


@dataclass(frozen=True)
class Rose:
    """Counts of winds."""

    counts: NDArray[np.int64]  # (sectors, classes)
    calm: int
    turning: int  # stronger than a calm, but from no one direction
    missing: int

    @property
    def known(self) -> int:
        """Winds of known speed: what shares are shares of."""
        return int(self.counts.sum()) + self.calm + self.turning


def wind_rose(speed: ArrayLike, from_direction: ArrayLike) -> Rose:
    """Count winds by sector and class of speed.

    Parameters
    ----------
    speed, from_direction : array_like, shape (n,)
        [m/s], [degrees, 360 for north]. A missing speed is counted as missing, a missing direction as a calm or
        a turning wind.
    """
    speed = np.asarray(speed, dtype=np.float64)
    direction = np.asarray(from_direction, dtype=np.float64)
    heard = np.isfinite(speed)
    calm = heard & (speed < CALM)
    from_somewhere = heard & ~calm & np.isfinite(direction)
    width = 360 / SECTORS
    sector = np.floor((direction[from_somewhere] + width / 2) / width).astype(np.int64) % SECTORS
    force = beaufort(speed[from_somewhere])
    kind = np.searchsorted([last for _, last in CLASSES], force)
    counts = np.zeros((SECTORS, len(CLASSES)), dtype=np.int64)
    np.add.at(counts, (sector, kind), 1)
    return Rose(
        counts=counts,
        calm=int(calm.sum()),
        turning=int((heard & ~calm & ~np.isfinite(direction)).sum()),
        missing=int((~heard).sum()),
    )
