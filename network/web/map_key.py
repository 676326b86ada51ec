"""What the inks of a map mean: a key that is drawn with the very means the map is."""

from dataclasses import dataclass, field

import numpy as np

from network.web import village_map_picture as draw
from network.web.quantities import amount, decimals_of, unit_sign, written

SWATCH, SHORT_SWATCH = 20, 10  # units across
DROPS, WINDS = (0.5, 2.0, 8.0), (2.0, 5.0, 8.0)
"""The rain [mm] and the wind [m/s] shown as samples."""

SAMPLE = (64, 24)
"""Units across and down of a sample."""


@dataclass(frozen=True)
class MapKey:
    """Everything network/_map_key.html may show."""

    kind: str  # tint, stipple or arrow
    unit: str
    low: str = ""
    high: str = ""
    swatches: list[tuple[int, float]] = field(default_factory=list)  # x and opacity, pale to deep
    fading: list[tuple[int, float]] = field(default_factory=list)  # x and opacity, known to unknown
    stipples: list[tuple[str, str]] = field(default_factory=list)  # dots and what they tell
    arrows: list[tuple[str, str]] = field(default_factory=list)


def map_key(variable: str, low: float = np.nan, high: float = np.nan) -> MapKey:
    """The key of a map whose tint is palest at ``low`` and deepest at ``high`` [reader's unit]."""
    unit = unit_sign(variable)
    if variable == "rain_amount":
        return MapKey(
            "stipple", unit, stipples=[(_dots(fallen), amount(variable, fallen)) for fallen in DROPS]
        )
    if variable == "wind_speed":
        blown = [
            (draw.arrow(SAMPLE[0] / 2, SAMPLE[1] / 2, speed, 0.0), amount(variable, speed)) for speed in WINDS
        ]
        return MapKey("arrow", unit, arrows=blown)
    places = decimals_of(variable)
    depths = [round(draw.PALE + draw.DEEP * i / (draw.BANDS - 1), 3) for i in range(draw.BANDS)]
    covers = (0.0, *(cover for _, cover in draw.FADES[::2]))
    return MapKey(
        "tint",
        unit,
        written(low, places),
        written(high, places),
        [(SWATCH * i, depth) for i, depth in enumerate(depths)],
        [(SHORT_SWATCH * i, round(depths[-3] * (1 - cover), 3)) for i, cover in enumerate(covers)],
    )


def _dots(fallen: float) -> str:
    """A piece of the stipple, as dense as on a map."""
    across, down = SAMPLE
    order = np.arange(round(draw.DOTS * across * down / (draw.WIDTH * 0.75 * draw.WIDTH)))
    x, y = (np.mod(0.5 + order * step, 1.0) for step in draw.EVENLY)
    inked = order < len(order) * np.sqrt(min(fallen / draw.FULL_RAIN, 1.0))
    return "".join(f"M{across * a:.0f} {down * b:.0f}h0" for a, b in zip(x[inked], y[inked], strict=True))
