"""What stands around an instrument, as somebody with a tape measure can tell it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import atan2, degrees, inf

DIRECTIONS = {
    "north": 0.0,
    "north-east": 45.0,
    "east": 90.0,
    "south-east": 135.0,
    "south": 180.0,
    "south-west": 225.0,
    "west": 270.0,
    "north-west": 315.0,
}
"""[deg] The middle of each eighth of the horizon."""


@dataclass(frozen=True)
class Obstacle:
    """The highest thing in one direction: taken as filling that eighth of the horizon."""

    direction: str
    distance: float  # [m] from the instrument, along the ground
    height: float  # [m] above the ground
    grows: bool = False  # a tree or a hedge, which can be cut

    @property
    def words(self) -> str:
        return f"the {'tree or hedge' if self.grows else 'wall or house'} in the {self.direction}"

    def elevation(self, above: float) -> float:
        """[deg] How high it reaches, seen from ``above`` metres over the ground."""
        return degrees(atan2(self.height - above, self.distance))

    def ratio(self, above: float) -> float:
        """How many times as far away as it is high, counted from ``above`` metres; endless if it is lower."""
        return self.distance / (self.height - above) if self.height > above else inf


@dataclass(frozen=True)
class Surroundings:
    """What has been told so far; None stands for what nobody has answered yet."""

    latitude: float
    height: float | None = None  # [m] of the sensor, rim or rotor above the ground
    slope: float | None = None  # [deg]
    growth: float | None = None  # [m] height of the plants around; endless where there are none, but stone
    warm: Mapping[str, float] | None = (
        None  # [m] to the nearest wall, roof, paving, water; those not there left out
    )
    shares: Mapping[int, float] = field(
        default_factory=dict
    )  # by radius [m]: how much of the circle they cover
    obstacles: tuple[Obstacle, ...] | None = None
    shade: float | None = None  # [deg] of the sun: higher than this it is never shaded, as somebody has seen
    shaded_share: float | None = None  # of the daytime, on the worst day, as somebody has seen
    bright: int | None = None  # class that walls which throw light on it allow
    gauge_shelter: str | None = None  # "ring" of low things, "shield" of its own, or "none"
    roughness: float | None = None  # [m] roughness length of the land around
    narrow: float | None = (
        None  # the nearest mast or thin tree, in multiples of its width; endless where none
    )

    @property
    def nearest_warmth(self) -> tuple[str, float] | None:
        """The nearest of what stores the sun or is water [m]; endless where there is nothing."""
        if self.warm is None:
            return None
        found = dict(self.warm)
        for one in self.obstacles or ():
            if not one.grows and one.distance < found.get("wall", inf):
                found["wall"] = one.distance
        return min(found.items(), key=lambda each: each[1], default=("", inf))

    def share(self, radius: int, inside: int = 0) -> float | None:
        """[1] How much of a circle, or of the ring outside ``inside``, such surfaces cover. None if not told."""
        nearest = self.nearest_warmth
        if nearest is not None and nearest[1] >= radius:
            return 0.0
        whole, hole = self.shares.get(radius), self.share(inside) if inside else 0.0
        if whole is None or hole is None:
            return None
        return max(whole * radius**2 - hole * inside**2, 0.0) / (radius**2 - inside**2)

    @property
    def widest_tall(self) -> float:
        """[deg] The widest unbroken stretch of horizon with something above 10 m within 40 m."""
        tall = {each.direction for each in self.obstacles or () if each.height > 10 and each.distance < 40}
        around = [name in tall for name in DIRECTIONS]
        if all(around):
            return 360.0
        longest = run = 0
        for there in around * 2:
            run = run + 1 if there else 0
            longest = max(longest, run)
        return longest * 45.0
