"""The three stations on which the hand-worked values of this folder stand: a 3-4-5 triangle [km, degC]."""

import numpy as np

from network.spatial.sites import Sites

TRIANGLE = Sites.at([0, 4, 0], [0, 0, 3])
VALUES = np.array([10.0, 14.0, 13.0])
