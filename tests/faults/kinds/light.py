"""What goes wrong with a light sensor.

Shade can be seen when the sun stands behind what throws it, in a clear enough sky: 60 readings darkened by more
than the instrument's standard error. Dirt can be seen in bright hours: 100 such readings.
"""

from collections.abc import Callable

import numpy as np

from network.science.sun import clear_sky_irradiance
from tests.faults.kind import Kind
from tests.faults.said import Bools, Floats, Said, rounded

LIGHT = ("irradiance",)
ALSO = frozenset({"shaded", "light_loss", "departure", "step", "clock", "light_above_clear_sky"})


CLEAR = 0.75
"""Clearness index of a clear sky with the sun well up; taken for any height of the sun, so that a low one casts shadows too."""


def diffuse_share(clearness: Floats) -> Floats:
    """How much of the light comes from the whole sky and not from the sun, by the clearness index (t,).

    Source: Erbs, Klein and Duffie (1982), Solar Energy 28, 293-302 (coefficients from memory).
    """
    k = np.clip(clearness, 0.0, 1.0)
    cloudy = 0.9511 - 0.1604 * k + 4.388 * k**2 - 16.638 * k**3 + 12.336 * k**4
    return np.select([k <= 0.22, k <= 0.80], [1.0 - 0.09 * k, cloudy], 0.165)


def shaded(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """A tree or a roof takes the sun's own light while the sun stands behind it, and leaves that of the sky."""
    elevation, azimuth = said.truth["sun_elevation"], said.truth["sun_azimuth"]
    clear_sky = np.maximum(clear_sky_irradiance(elevation), 1.0)
    left = diffuse_share(CLEAR * said.truth["irradiance"] / clear_sky)
    middle, width, top = random.uniform(110, 250), random.uniform(25, 45), random.uniform(25, 45)
    off = np.abs((azimuth - middle + 180.0) % 360.0 - 180.0)
    behind = where & (off < width / 2) & (elevation < top) & (elevation > 0)
    return said.saying(behind, irradiance=rounded("irradiance", left * said.values["irradiance"]))


def dirty(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """Dust and moss take a part of all light."""
    through = random.uniform(0.55, 0.75)
    return said.saying(where, irradiance=rounded("irradiance", through * said.values["irradiance"]))


def often(least: int) -> Callable[[Said, Said, Bools], bool]:
    """Whether so many readings are darkened."""

    def visible(honest: Said, said: Said, affected: Bools) -> bool:
        return int(affected.sum()) >= least

    return visible


KINDS = (
    Kind("light shaded", LIGHT, (9.0, 12.0), shaded, frozenset({"shaded"}), ALSO, visible=often(60)),
    Kind("light dirty", LIGHT, (6.0, 9.0), dirty, frozenset({"light_loss"}), ALSO, visible=often(100)),
)
