"""How air feels: charts and tables of the weather services."""

# wind [km/h]: wind chill [°C] at 5, 0, -5, -10, -20, -30, -40 °C. Formula read on pages of Environment and
# Climate Change Canada; computed, and MetPy and thermofeel give the same.
WIND_CHILL_AT = (5, 0, -5, -10, -20, -30, -40)
WIND_CHILL = {
    5: (4.08, -1.59, -7.26, -12.93, -24.28, -35.62, -46.97),
    10: (2.66, -3.31, -9.29, -15.26, -27.21, -39.15, -51.10),
    20: (1.07, -5.24, -11.55, -17.86, -30.48, -43.10, -55.72),
    40: (-0.71, -7.40, -14.08, -20.77, -34.13, -47.50, -60.87),
    60: (-1.85, -8.77, -15.70, -22.62, -36.47, -50.32, -64.17),
}

# °F: wind chill [°F] at 5, 10, 15, 20, 30, 40, 60 mph. Chart of the US National Weather Service (read).
WIND_CHILL_CHART_AT = (5, 10, 15, 20, 30, 40, 60)
WIND_CHILL_CHART = {
    40: (36, 34, 32, 30, 28, 27, 25),
    30: (25, 21, 19, 17, 15, 13, 10),
    20: (13, 9, 6, 4, 1, -1, -4),
    0: (-11, -16, -19, -22, -26, -29, -33),
    -10: (-22, -28, -32, -35, -39, -43, -48),
    -20: (-34, -41, -45, -48, -53, -57, -62),
}

# °F, %, heat index [°F]: equation of the US National Weather Service (read), computed; MetPy agrees but for
# 80 °F and 40 %, where it leaves the simple formula earlier.
HEAT_INDEX = [
    (80, 40, 79.58),
    (90, 50, 94.60),
    (90, 70, 105.92),
    (96, 65, 121.03),
    (100, 40, 109.26),
    (110, 40, 135.66),
    (100, 10, 94.12),
    (95, 5, 88.18),
    (84, 95, 100.88),
    (86, 90, 105.39),
]

# °C, %, heat index [°C]: computed; thermofeel agrees.
HEAT_INDEX_METRIC = [(30, 50, 31.05), (32, 70, 40.41), (35, 40, 37.22), (38, 45, 45.86)]

# °F, %: heat index [°F]. Chart of the US National Weather Service, Tulsa (read). It leaves the adjustment for
# damp air away, so only cells up to 80 % are here.
HEAT_INDEX_CHART = [
    (110, 40, 136),
    *[(104, r, hi) for r, hi in ((40, 119), (50, 131))],
    *[(100, r, hi) for r, hi in ((40, 109), (50, 118), (60, 129))],
    *[(96, r, hi) for r, hi in ((40, 101), (50, 108), (60, 116), (70, 126))],
    *[(90, r, hi) for r, hi in ((40, 91), (50, 95), (60, 100), (70, 106), (80, 113))],
    *[(86, r, hi) for r, hi in ((40, 85), (50, 88), (60, 91), (70, 95), (80, 100))],
    *[(82, r, hi) for r, hi in ((40, 81), (50, 83), (60, 84), (70, 86), (80, 89))],
    *[(80, r, hi) for r, hi in ((40, 80), (50, 81), (60, 82), (70, 83), (80, 84))],
]

# °C, %, wind [m/s], apparent temperature [°C]: Steadman (1994), Australian form (read second-hand); computed.
APPARENT = [
    (20, 50, 2, 18.448),
    (30, 60, 1, 33.673),
    (35, 40, 3, 36.294),
    (25, 80, 0, 29.338),
    (10, 70, 5, 5.332),
    (0, 80, 8, -7.988),
    (40, 20, 4, 38.048),
]
