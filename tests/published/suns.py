"""The sun: positions, times, light."""

# Reda and Andreas (2003), NREL, worked example (read in pvlib's tests): 2003-10-17 12:30:30 at UTC-7.
EXAMPLE_TIME = "2003-10-17T19:30:30"
EXAMPLE_PLACE = (39.742476, -105.1786)
EXAMPLE_ELEVATION = 39.872046  # [°] without refraction
EXAMPLE_AZIMUTH = 194.340241  # [°]

# UTC date, latitude, longitude, sunrise, sunset: minutes of the UTC day, from the sunrise equation and Fourier
# series of NOAA's General Solar Position Calculations (read in a copy; computed). They and a full algorithm
# differ by up to 2.5 minutes near the equinoxes.
NOAA_RISE_AND_SET = [
    ("2026-03-20", 47.0, 8.0, 5 * 60 + 33.3, 17 * 60 + 39.1),
    ("2026-06-21", 47.0, 8.0, 3 * 60 + 32.4, 19 * 60 + 26.3),
    ("2026-12-21", 47.0, 8.0, 7 * 60 + 10.6, 15 * 60 + 41.1),
    ("2026-06-21", 60.0, 25.0, 0 * 60 + 55.2, 19 * 60 + 47.5),
    ("2026-09-23", 0.0, 0.0, 5 * 60 + 49.0, 17 * 60 + 55.7),
    ("2026-01-15", -33.9, 18.4, 3 * 60 + 49.9, 18 * 60 + 0.2),
]

# elevation [°], clear-sky irradiance [W/m²]: Haurwitz (1945) as listed in pvlib's tests (read); 45 and 60 computed.
HAURWITZ = [
    (5, 48.630),
    (10, 135.742),
    (30, 487.894),
    (45, 714.250),
    (50, 778.767),
    (60, 888.271),
    (90, 1035.092),
    (0, 0.0),
    (-10, 0.0),
]

# latitude, UTC date, daily extraterrestrial radiation [MJ/m²]: Allen et al. (1998), FAO-56, examples 8 and 18
# (read second-hand).
FAO_DAILY = [(-20.0, "2015-09-03", 32.2), (50.8, "2015-07-06", 41.09)]

# day of the year, inverse relative distance [1]: the same examples, and the solstices (computed, eq. 23).
FAO_DISTANCE = [("2015-09-03", 0.985), ("2015-07-06", 0.9671), ("2015-06-21", 0.9675), ("2015-12-21", 1.0325)]
