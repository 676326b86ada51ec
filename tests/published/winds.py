"""Wind: the Beaufort scale, mean vectors, spreads of direction, heights and rotors."""

# force, name, lowest and highest speed [m/s] (read in three public tables).
BEAUFORT = [
    (0, "calm", 0.0, 0.2),
    (1, "light air", 0.3, 1.5),
    (2, "light breeze", 1.6, 3.3),
    (3, "gentle breeze", 3.4, 5.4),
    (4, "moderate breeze", 5.5, 7.9),
    (5, "fresh breeze", 8.0, 10.7),
    (6, "strong breeze", 10.8, 13.8),
    (7, "near gale", 13.9, 17.1),
    (8, "gale", 17.2, 20.7),
    (9, "strong gale", 20.8, 24.4),
    (10, "storm", 24.5, 28.4),
    (11, "violent storm", 28.5, 32.6),
    (12, "hurricane", 32.7, 60.0),
]

# speeds [m/s], directions [°], mean vector [m/s], its direction [°] or None (constructed, computed).
MEAN_VECTORS = [
    ((3, 4), (270, 360), 2.5, 323.130),
    ((6, 8), (0, 90), 5.0, 53.130),
    ((5, 5), (350, 10), 4.9240, 360.0),
    ((2, 4, 6), (90, 180, 270), 1.8856, 225.0),
    ((5, 5), (90, 270), 0.0, None),
    ((4, 4, 4, 4), (0, 90, 180, 270), 0.0, None),
]

# directions [°], spread [°] (Yamartino 1984, formula read second-hand; computed).
SPREADS = [
    ((350, 0, 10), 8.1651),
    ((350, 10), 10.0081),
    ((80, 90, 100, 110), 11.1815),
    ((10, 20, 30, 40, 350), 17.2075),
    ((0, 90), 47.4613),
    ((0, 180), 103.923),
    ((45, 135, 225, 315), 103.923),
]

# speed [m/s], at height [m], roughness length [m], to height [m], speed there [m/s] (logarithmic law; computed).
HEIGHTS = [(5, 2, 0.03, 10, 6.9161), (5, 10, 0.03, 2, 3.6147), (4, 6, 0.10, 10, 4.4991)]

# Pindado et al. (2013), The Scientific World Journal, article 197325, table 3 (read): m per pulse, offset [m/s].
ROTOR_25_50 = {"metres_per_pulse": 0.03932, "offset": 0.208}

# pulses per second, wind [m/s]: computed from the published slope and offset.
ROTOR_SPEEDS = [(10, 0.601), (50, 2.174), (100, 4.140), (200, 8.072)]
