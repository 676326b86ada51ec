"""Where things stand on the village's plane: stations, targets, and the cells of a map."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.spatial.distance import local_plane

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Sites:
    """Places on the local plane, each with its elevation: three arrays of shape (n,) [m].

    ``cover`` says what else is known of the ground at each, a column for each kind (n, k): often nothing.
    """

    east: Floats
    north: Floats
    elevation: Floats
    cover: Floats | None = None

    def __post_init__(self) -> None:
        for name in ("east", "north", "elevation"):
            value = np.atleast_1d(np.asarray(getattr(self, name), dtype=np.float64))
            object.__setattr__(self, name, value)
        if not self.east.shape == self.north.shape == self.elevation.shape == (len(self),):
            raise ValueError("Sites need as many eastings as northings and elevations, in flat arrays.")
        if self.cover is not None and (self.cover.ndim != 2 or len(self.cover) != len(self)):
            raise ValueError("The cover of sites has a row for each of them.")

    @classmethod
    def at(cls, east: ArrayLike, north: ArrayLike, elevation: ArrayLike = 0.0) -> Self:
        """Sites from anything that broadcasts: one elevation may do for all."""
        flat = [np.ravel(part) for part in np.broadcast_arrays(east, north, elevation)]
        return cls(*(part.astype(np.float64) for part in flat))

    def __len__(self) -> int:
        return self.east.size

    def __getitem__(self, chosen: Bools | NDArray[np.intp] | slice) -> "Sites":
        cover = None if self.cover is None else self.cover[chosen]
        return Sites(self.east[chosen], self.north[chosen], self.elevation[chosen], cover)

    @property
    def plane(self) -> Floats:
        """East and north side by side, shape (n, 2) [m]."""
        return np.column_stack([self.east, self.north])


@dataclass(frozen=True)
class Grid:
    """The cells of a map: its edges on the local plane [m], and how many cells it has.

    Cells are flattened row by row from the south-west corner, east first, so ``estimate.reshape(rows,
    columns)`` has south in row 0, as contour functions expect.
    """

    west: float
    south: float
    east: float
    north: float
    rows: int
    columns: int

    def __post_init__(self) -> None:
        if not (self.west < self.east and self.south < self.north):
            raise ValueError("A grid needs its west edge west of its east edge, and south below north.")
        if self.rows < 1 or self.columns < 1:
            raise ValueError("A grid needs at least one row and one column.")

    @classmethod
    def around(cls, sites: Sites, margin: float, cell: float) -> Self:
        """Square cells of about ``cell`` [m] over all the sites and ``margin`` [m] beyond them."""
        west, south = sites.plane.min(axis=0) - margin
        east, north = sites.plane.max(axis=0) + margin
        rows, columns = int(np.ceil((north - south) / cell)), int(np.ceil((east - west) / cell))
        return cls(float(west), float(south), float(east), float(north), max(rows, 1), max(columns, 1))

    @classmethod
    def over(cls, south: float, north: float, west: float, east: float, rows: int) -> Self:
        """Square cells over a box [degrees], so many of them from south to north; the plane touches its middle."""
        middle = (south + north) / 2, (west + east) / 2
        (left, right), (low, high) = local_plane(np.array([south, north]), np.array([west, east]), middle)
        columns = max(round(rows * (right - left) / (high - low)), 1)
        return cls(float(left), float(low), float(right), float(high), rows, columns)

    @property
    def shape(self) -> tuple[int, int]:
        return self.rows, self.columns

    @property
    def eastings(self) -> Floats:
        """East of each column's middle, shape (columns,) [m]."""
        width = (self.east - self.west) / self.columns
        return np.asarray(self.west + width * (np.arange(self.columns) + 0.5), dtype=np.float64)

    @property
    def northings(self) -> Floats:
        """North of each row's middle, shape (rows,) [m]."""
        height = (self.north - self.south) / self.rows
        return np.asarray(self.south + height * (np.arange(self.rows) + 0.5), dtype=np.float64)

    def sites(self, elevation: ArrayLike = 0.0) -> Sites:
        """The middle of every cell; elevation [m] one for all, or one each, (rows, columns) or flat."""
        east, north = np.meshgrid(self.eastings, self.northings)
        ground = np.asarray(elevation, dtype=np.float64)
        return Sites.at(east, north, ground.reshape(self.shape) if ground.size > 1 else ground)
