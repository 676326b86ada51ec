"""Wind as vectors at one height, from stations sited for wind."""

import numpy as np

from network.models.storage import Floats
from network.pipeline.ledger import blocks
from network.pipeline.metadata.stretches import Stretch
from network.pipeline.neighbours.frames import Frames, Use
from network.science.wind import at_height, components

MAP_HEIGHT = 10.0
"""[m] The height all winds are brought to (WMO-No. 8: 10 m over open ground)."""

ROUGHNESS = 0.1
"""[m] Roughly open ground (Davenport). Among houses no law of height holds: a guess, and the error says so."""

LOWEST = 2.0
"""[m] Below this height above ground a rotor tells of its garden, not of the village."""


def vectors_at_ten_metres(seen: Frames) -> tuple[Floats, Floats]:
    """Eastward and northward wind of each stretch in each frame, (n, t) [m/s]; NaN where not fit for a map."""
    speed = seen.values("wind_speed", Use.DRAWN)
    eastward, northward = np.full(speed.shape, np.nan), np.full(speed.shape, np.nan)
    direction = _mean_directions(seen)
    for i, place in enumerate(seen.places):
        if not is_too_low(place):
            raised = at_height(speed[i], _height(place), MAP_HEIGHT, ROUGHNESS)
            eastward[i], northward[i] = components(raised, direction[i])
            calm = speed[i] == 0.0
            eastward[i][calm] = northward[i][calm] = 0.0
    return eastward, northward


def is_too_low(place: Stretch) -> bool:
    """Whether a stretch's rotor stands too near the ground for a map."""
    return _height(place) < LOWEST


def _height(place: Stretch) -> float:
    return place.height.get("wind_speed", MAP_HEIGHT)


def _mean_directions(seen: Frames) -> Floats:
    """Mean direction of each frame, averaged on the circle: the mean of 350° and 10° is north."""
    result = np.full((len(seen.places), len(seen.at)), np.nan)
    for i, (place, rows) in enumerate(zip(seen.places, seen.rows, strict=True)):
        usable = seen.usable("wind_from_direction", place, rows, Use.DRAWN)
        angle = np.radians(np.where(usable, rows.columns["wind_from_direction"], np.nan))
        frame = np.searchsorted(seen.at, rows.at)
        held = np.isfinite(angle) & (frame < len(seen.at)) & (rows.at > seen.at[0] - blocks.FRAME)
        sine = np.bincount(frame[held], np.sin(angle[held]), len(seen.at))
        cosine = np.bincount(frame[held], np.cos(angle[held]), len(seen.at))
        known = np.hypot(sine, cosine) > 1e-9
        result[i][known] = np.degrees(np.arctan2(sine[known], cosine[known])) % 360
    return result
