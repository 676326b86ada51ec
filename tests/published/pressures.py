"""Pressure: reductions, the standard atmosphere, tendencies.

Computed with the stated formulas, independently of this project, unless a line says otherwise.
"""

# station pressure [hPa], elevation [m], t [°C], U [%], vapour pressure [hPa], at sea level by WMO-No. 8
# (constants read second-hand) [hPa], altimeter setting by the ICAO form (from memory) [hPa].
# The last two lie above the 750 m the method is meant for and test the arithmetic only.
REDUCTIONS = [
    (1005.0, 12, 5, 90, 7.846, 1006.48, 1006.43),
    (1010.0, 25, 25, 65, 20.540, 1012.87, 1013.00),
    (1000.0, 100, 15, 70, 11.912, 1011.85, 1011.94),
    (980.0, 300, 10, 60, 7.356, 1015.86, 1015.59),
    (955.0, 500, 20, 50, 11.663, 1011.66, 1013.66),
    (940.0, 650, 30, 40, 16.935, 1010.40, 1015.85),
    (900.0, 1000, 0, 80, 4.890, 1018.06, 1014.63),
    (850.0, 1400, -10, 60, 1.722, 1016.02, 1006.39),
]

# Geopotential height [m], pressure [hPa] (ISO 2533:1975, constants read second-hand; the ambiance library
# gives the same to 0.001 hPa).
STANDARD_ATMOSPHERE = [
    (0, 1013.25),
    (100, 1001.294),
    (200, 989.453),
    (500, 954.608),
    (1000, 898.746),
    (1500, 845.560),
    (2000, 794.952),
]

# Hourly pressures [hPa], oldest first; figure of code table 0200 (table read; cases constructed so that any
# sensible arithmetic gives the same).
TENDENCIES = [
    ((1010.0, 1010.5, 1011.0, 1011.5), 2),
    ((1010.0, 1011.5, 1011.2, 1010.4), 0),
    ((1010.0, 1011.2, 1011.4, 1011.4), 1),
    ((1010.0, 1009.5, 1010.2, 1011.0), 3),
    ((1010.0, 1010.0, 1010.0, 1010.0), 4),
    ((1010.0, 1008.8, 1009.0, 1009.6), 5),
    ((1010.0, 1009.0, 1008.6, 1008.6), 6),
    ((1010.0, 1009.4, 1008.8, 1008.2), 7),
    ((1010.0, 1010.4, 1009.6, 1008.8), 8),
]
