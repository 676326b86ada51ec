"""One map on a grid of latitudes and longitudes, as every file of it is made from."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np

from network.models import VillageMap
from network.models.storage import Floats
from network.pipeline.ledger.blocks import FRAME, HOUR
from network.pipeline.maps.ground import grounded
from network.pipeline.maps.map import estimate
from network.pipeline.metadata.stretches import as_shown, stretches
from network.science.units import convert
from network.science.variables import VARIABLES, Variable
from network.spatial.distance import local_plane
from network.spatial.maps import WindMap
from network.spatial.sites import Sites
from network.spatial.village import LEAST, TooFew
from network.web.ground_picture import credit
from network.web.village_map_picture import isoline_step
from stations.models import Ground, Village

ROWS = 100
"""Cells from south to north: some twenty metres of a village of two kilometres."""

WARNING = "An estimate from neighbours' stations. Not a warning service: for warnings see {service}, {link}."


@dataclass(frozen=True, eq=False)
class Sheet:
    """A map's values, south in row 0, in the unit of the catalogue; edges are those of the village's map."""

    village: Village
    kept: VillageMap
    latitude: Floats  # (rows,) of the cells' middles [degrees]
    longitude: Floats  # (columns,)
    fields: Mapping[str, Floats]  # by name of the catalogue, or the two parts of the wind: (rows, columns)
    error: Floats  # standard error of the field itself, of wind that of either part: (rows, columns)
    elevation: Floats  # of the ground [m]

    @property
    def variable(self) -> Variable:
        return VARIABLES[self.kept.variable]

    @property
    def begins_at(self) -> int:
        """Beginning of the time the values are of [UTC epoch s]; they are of the time up to ``kept.at``."""
        return self.kept.at - (HOUR if self.variable.summary == "sum" else FRAME)

    @property
    def value(self) -> Floats:
        """The variable itself; of wind, the speed of the estimated vector."""
        return np.asarray(
            np.hypot(*self.fields.values()) if len(self.fields) > 1 else self.fields[self.variable.name]
        )

    def usual(self, values: Floats) -> Floats:
        """Values in the unit people use."""
        return convert(values, self.variable.unit, self.variable.shown_unit)

    def usual_difference(self, values: Floats) -> Floats:
        """Differences of values in the unit people use."""
        return self.usual(values) - self.usual(np.zeros_like(values))

    @property
    def step(self) -> float:
        """Between isolines [usual unit]."""
        return isoline_step(self.usual(self.value).ravel(), self.usual_difference(self.error).ravel())

    @property
    def guessed(self) -> np.ndarray:
        """Where a standard error exceeds half the step of the isolines."""
        return self.usual_difference(self.error) > self.step / 2

    @property
    def source(self) -> str:
        """On what it stands, in a sentence."""
        left = f", {len(self.kept.left_out)} left out" if self.kept.left_out else ""
        return (
            f"{len(self.kept.used)} weather stations of households in {self.village.name}{left}; between them by "
            f"{self.kept.method}"
        )

    @property
    def warning(self) -> str:
        return WARNING.format(service=self.village.weather_service, link=self.village.weather_service_link)

    @property
    def credit(self) -> str:
        """Whose work the ground is, '' where it is told by the stations alone."""
        return credit(
            Ground.objects.kept().filter(village=self.village, kind=Ground.Kind.ELEVATION).defer("packed")
        )

    @property
    def moment(self) -> datetime:
        return datetime.fromtimestamp(self.kept.at, UTC)


def file_name(kept: VillageMap, ending: str) -> str:
    """What a map's file is called: its village, its variable and its time there."""
    local = datetime.fromtimestamp(kept.at, kept.village.clock)
    return f"{kept.village.slug}-{kept.variable.replace('_', '-')}-{local:%Y-%m-%d-%H%M}.{ending}"


def sheet(kept: VillageMap) -> Sheet:
    """Work a map out on a grid of degrees over its village. Raises TooFew."""
    village, rows = kept.village, ROWS
    latitude = _middles(village.south, village.north, rows)
    across = (village.east - village.west) * np.cos(np.radians(village.centre[0]))
    longitude = _middles(
        village.west, village.east, max(round(rows * across / (village.north - village.south)), 1)
    )
    standing = stretches(village, kept.at - 1, kept.at)
    east, north = local_plane(latitude[:, None], longitude, village.centre)
    places = grounded(village, Sites.at(east, north), standing)
    if places is None or len(as_shown(standing)) < LEAST:
        raise TooFew(VARIABLES[kept.variable].words, min(len(as_shown(standing)), LEAST - 1))
    made = estimate(village, [kept], places, standing)
    shape = (rows, longitude.size)
    fields = (
        {"eastward_wind": made.eastward, "northward_wind": made.northward}
        if isinstance(made, WindMap)
        else {kept.variable: made.estimate}
    )
    return Sheet(
        village,
        kept,
        latitude,
        longitude,
        {name: values[:, 0].reshape(shape) for name, values in fields.items()},
        np.array(made.error[:, 0]).reshape(shape),
        places.elevation.reshape(shape),
    )


def _middles(low: float, high: float, count: int) -> Floats:
    return np.asarray(low + (np.arange(count) + 0.5) * (high - low) / count)
