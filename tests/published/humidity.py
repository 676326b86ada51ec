"""Humidity at 1013.25 hPa.

Computed with the formulas of WMO-No. 8 Annex 4.B (read second-hand; the psychrometer and the curve inverted
over ice from memory), independently of this project, and held there against psychrolib and MetPy.
"""

# t [°C], U [%], saturation over water [hPa], over ice [hPa] or None, vapour pressure [hPa],
# dew point, frost point or None, wet bulb [°C], mixing ratio [g/kg]
MOIST_AIR = [
    (-30, 70, 0.5117, 0.3802, 0.3582, -33.72, -30.57, -30.22, 0.221),
    (-20, 60, 1.2597, 1.0326, 0.7558, -25.78, -23.21, -20.67, 0.466),
    (-10, 80, 2.8703, 2.5987, 2.2962, -12.80, -11.39, -10.66, 1.419),
    (-5, 90, 4.2218, 4.0174, 3.7997, -6.39, -5.65, -5.44, 2.352),
    (0, 50, 6.1120, 6.1120, 3.0560, -9.20, -8.16, -2.88, 1.890),
    (0, 100, 6.1120, 6.1120, 6.1120, 0.00, 0.00, 0.00, 3.793),
    (5, 85, 8.7174, None, 7.4098, 2.69, None, 3.95, 4.604),
    (10, 40, 12.2603, None, 4.9041, -3.00, -2.65, 4.60, 3.039),
    (15, 75, 17.0167, None, 12.7625, 10.60, None, 12.48, 7.972),
    (20, 50, 23.3260, None, 11.6630, 9.26, None, 13.83, 7.277),
    (20, 100, 23.3260, None, 23.3260, 20.00, None, 20.00, 14.727),
    (25, 60, 31.6006, None, 18.9603, 16.69, None, 19.52, 11.918),
    (30, 30, 42.3372, None, 12.7012, 10.53, None, 18.07, 7.933),
    (30, 80, 42.3372, None, 33.8698, 26.17, None, 27.12, 21.615),
    (35, 45, 56.1284, None, 25.2578, 21.29, None, 25.16, 15.978),
    (40, 20, 73.6746, None, 14.7349, 12.78, None, 22.20, 9.222),
    (45, 15, 95.7971, None, 14.3696, 12.40, None, 23.48, 8.990),
]

# dry bulb [°C], wet bulb [°C], frozen, U [%]
PSYCHROMETER = [
    (20, 15, False, 58.64),
    (30, 25, False, 66.68),
    (10, 8, False, 76.57),
    (5, 3, False, 71.76),
    (35, 22, False, 31.42),
    (-2, -4, True, 60.88),
]

# t [°C], U [%], absolute humidity [g/m³]
ABSOLUTE = [(20, 50, 8.621), (30, 80, 24.209), (0, 100, 4.848), (-10, 80, 1.891)]

# Allen et al. (1998), FAO Irrigation and Drainage Paper 56, example 3 (read second-hand): °C, kPa.
# Its curve is another one, so agreement is to half a per cent.
FAO_SATURATION = [(15.0, 1.705), (24.5, 3.075)]
