"""Many maps told as a few pictures and how much of each: what a browser mixes again within one frame.

A map is linear in its readings, so however many times it is drawn, all of its maps are mixtures of about as many
pictures as it has stations. The pictures are told in whole quanta, which take little room.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FINENESS = 10
"""Quanta in the tolerance: so many pictures' roundings together stay well within it."""

LARGEST = 32767

Floats = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Mixture:
    """Maps (g, t) as ``level + pictures.T @ shares``."""

    level: Floats  # (t,) the middle of each map; NaN where there is none
    pictures: NDArray[np.int16]  # (r, g)
    shares: Floats  # (r, t), zero where there is no map

    @property
    def maps(self) -> Floats:
        """The maps again, (g, t)."""
        return np.asarray(self.level + self.pictures.T.astype(np.float32) @ self.shares)


def mixture(maps: ArrayLike, tolerance: float) -> Mixture:
    """The pictures that tell maps, as many as it takes.

    Parameters
    ----------
    maps : array_like, shape (g, t)
        NaN throughout at a time that has none.
    tolerance : float
        How far any cell at any time may be off [unit of the maps].

    Returns
    -------
    Mixture

    Source: adaptive cross approximation with full pivoting, Bebendorf (2000), Numerische Mathematik 86, 565-589
    (from memory). Each picture is rounded before it is taken off, so the next ones mend the rounding.
    """
    told = np.array(maps, dtype=np.float64)
    there = np.isfinite(told).all(axis=0)
    level = np.where(there, np.where(there, told, 0.0).mean(axis=0), np.nan)
    left = np.where(there, told - level, 0.0).astype(np.float32)
    pictures: list[NDArray[np.int16]] = []
    shares: list[Floats] = []
    while left.size and (most := np.abs(left).max()) > tolerance:
        cell, time = divmod(int(np.abs(left).argmax()), left.shape[1])
        quantum = max(tolerance / FINENESS, float(most) / LARGEST)
        picture = np.rint(left[:, time] / quantum).astype(np.int16)
        share = left[cell] / picture[cell]
        left -= np.outer(picture.astype(np.float32), share)
        pictures.append(picture)
        shares.append(share)
    cells, times = left.shape
    return Mixture(
        level.astype(np.float32),
        np.array(pictures, dtype=np.int16).reshape(-1, cells),
        np.array(shares, dtype=np.float32).reshape(-1, times),
    )
