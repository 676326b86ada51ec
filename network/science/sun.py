"""The sun: where it stands, when it rises, and how much light a clear sky could give.

pvlib is imported inside the functions that need it: it takes two to three seconds to load, and most of what
imports this folder (the web server, a command) never asks where the sun is.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.constants import SOLAR_CONSTANT

DAY = 86400

CLOCK_BEHIND_EARTH = 67.0
"""[s] Terrestrial time minus universal time. A few seconds either way move the sun by less than 0.0001°."""

KNOTS = 3 * 3600.0
"""[s] Between times at which the sun's place among the stars is worked out: a straight line serves to 0.00002°."""

Floats = NDArray[np.float64]


def solar_position(
    seconds: ArrayLike, latitude: ArrayLike, longitude: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Elevation and azimuth of the sun's centre.

    Parameters
    ----------
    seconds, latitude, longitude : array_like, broadcast together
        [s since 1970, UTC], [degrees north], [degrees east]

    Returns
    -------
    elevation, azimuth : ndarray, the shape of all together
        [degrees above the horizon, without refraction], [degrees clockwise from north].
        NaN where any is missing.

    Source: Reda and Andreas (2003), Solar Position Algorithm, as pvlib has it.
    """
    seconds, latitude, longitude = np.broadcast_arrays(
        *(np.asarray(each, dtype=np.float64) for each in (seconds, latitude, longitude))
    )
    return _above_the_horizon(latitude, longitude, *_among_the_stars(seconds))


def _among_the_stars(seconds: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Sidereal time at Greenwich, right ascension and declination [degrees], and the sun's distance [au].

    The long series of the algorithm are summed at knots, and the rest lies straight between them.
    """
    from pvlib import spa

    before = seconds // KNOTS
    knots = np.unique([before, before + 1])  # most lie after one time and before another
    nowhere = {"lat": 0.0, "lon": 0.0, "elev": 0.0, "pressure": 0.0, "temp": 0.0, "atmos_refract": 0.0}
    asked = nowhere | {"delta_t": CLOCK_BEHIND_EARTH, "numthreads": 1}
    at = knots * KNOTS
    found = (*spa.solar_position(at, sst=True, **asked), spa.solar_position(at, esd=True, **asked)[0])
    first, second = np.searchsorted(knots, before), np.searchsorted(knots, before + 1)
    share = seconds / KNOTS - before
    between = []
    for one in map(np.ravel, found):
        step = (one[second] - one[first] + 180) % 360 - 180  # angles go on past 360°
        between.append(one[first] + share * step)
    sidereal, ascension, declination, distance = between
    return sidereal, ascension, declination, distance


def _above_the_horizon(
    latitude: Floats,
    longitude: Floats,
    sidereal: Floats,
    ascension: Floats,
    declination: Floats,
    distance: Floats,
) -> tuple[Floats, Floats]:
    """Elevation and azimuth at sea level, from where the sun stands among the stars."""
    from pvlib import spa

    hour_angle = spa.local_hour_angle(sidereal, longitude, ascension)
    parallax, u = spa.equatorial_horizontal_parallax(distance), spa.uterm(latitude)
    x, y = spa.xterm(u, latitude, 0.0), spa.yterm(u, latitude, 0.0)
    aside = spa.parallax_sun_right_ascension(x, parallax, hour_angle, declination)
    seen = spa.topocentric_sun_declination(declination, x, y, parallax, aside, hour_angle)
    hour_angle = spa.topocentric_local_hour_angle(hour_angle, aside)
    elevation = spa.topocentric_elevation_angle_without_atmosphere(latitude, seen, hour_angle)
    southward = spa.topocentric_astronomers_azimuth(hour_angle, seen, latitude)
    return np.asarray(elevation), np.asarray(spa.topocentric_azimuth_angle(southward))


def sunrise_sunset(
    day: ArrayLike, latitude: float, longitude: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """When the sun's upper edge appears and disappears, on a level horizon.

    Parameters
    ----------
    day : array_like, any shape
        [s since 1970, UTC] Any time of the UTC day whose noon is meant.
    latitude, longitude : float
        [degrees north], [degrees east]

    Returns
    -------
    sunrise, sunset : ndarray, same shape
        [s since 1970, UTC] The ones before and after the noon that falls in that UTC day, so far from
        Greenwich one of them lies on the day beside it. NaN where the day is missing, or where the sun does
        not rise or does not set.

    Source: Reda and Andreas (2003), as pvlib has it.
    """
    from pvlib import spa

    day = np.asarray(day, dtype=np.float64)
    midnight = day.ravel() // DAY * DAY
    _, sunrise, sunset = spa.transit_sunrise_sunset(midnight, latitude, longitude, CLOCK_BEHIND_EARTH, 1)
    return sunrise.reshape(day.shape), sunset.reshape(day.shape)


def clear_sky_irradiance(elevation: ArrayLike) -> NDArray[np.float64]:
    """Irradiance on level ground under a clear sky [W m-2], by the sun's elevation [degrees].

    0 below the horizon; NaN where missing. Clear-sky models differ by up to a fifth, and light from the edges
    of clouds exceeds them for minutes: as a ceiling allow a tenth more.
    Source: Haurwitz (1945), coefficients as in pvlib.
    """
    sine = _sine_above_horizon(elevation)
    return 1098 * sine * np.exp(-0.059 / np.where(sine == 0, 1.0, sine))


def extraterrestrial_horizontal(seconds: ArrayLike, elevation: ArrayLike) -> NDArray[np.float64]:
    """Irradiance [W m-2] on a level surface above the atmosphere: more cannot last on the ground.

    From the time [s since 1970, UTC] and the sun's elevation [degrees]; 0 below the horizon, NaN where
    missing.
    Source: Allen et al. (1998), FAO Irrigation and Drainage Paper 56, eq. 23 for the sun's distance.
    """
    return SOLAR_CONSTANT * inverse_relative_distance(seconds) * _sine_above_horizon(elevation)


def inverse_relative_distance(seconds: ArrayLike) -> NDArray[np.float64]:
    """Square of mean over present distance of the sun [1] at a time [s since 1970, UTC] (FAO-56, eq. 23)."""
    days = np.asarray(seconds, dtype=np.float64) / DAY
    # The leap day moves the sun's distance by less than 0.0006, so a year of 365.2425 days serves them all.
    day_of_year = days % 365.2425 + 1
    return 1 + 0.033 * np.cos(2 * np.pi * day_of_year / 365)


def _sine_above_horizon(elevation: ArrayLike) -> NDArray[np.float64]:
    return np.maximum(np.sin(np.radians(np.asarray(elevation, dtype=np.float64))), 0.0)
