"""The slope of the ground and the light on it."""

import numpy as np
from numpy.testing import assert_allclose

from network.spatial.relief import gradients, shade

WINDOW = np.array([[2450, 2461, 2483], [2452, 2461, 2483], [2447, 2455, 2477]], dtype=float)[::-1]
"""A window of the ground with cells of 5 m, turned so that south comes first."""


def test_the_worked_example_of_a_hillshade_comes_out():
    # Esri, 'How Hillshade works', worked example (from memory, checked by hand): dz/dx = 3.125 and, towards
    # the south, dz/dy = -0.525; light from 315 degrees at 45 degrees; 154 of 255, to whole numbers.
    east, north = gradients(WINDOW, 5, 5)
    assert_allclose([east[1, 1], -north[1, 1]], [3.125, -0.525], atol=5e-4)
    assert_allclose(255 * shade(WINDOW, 5, 5)[1, 1], 154, atol=0.5)


def test_level_ground_has_the_sine_of_the_lights_height():
    assert_allclose(shade(np.full((4, 5), 430.0), 10, 10, light_height=30.0), 0.5)


def test_a_slope_that_faces_the_light_is_lit_fully_and_one_that_turns_away_lies_in_shadow():
    # Lambert's law: on a plane of 45 degrees the light falls squarely, or not at all.
    east = np.arange(6) * 10.0
    facing = np.tile(-east, (4, 1))  # falls towards the east
    assert_allclose(shade(facing, 10, 10, light_from=90.0), 1.0)
    assert_allclose(shade(-facing, 10, 10, light_from=90.0), 0.0, atol=1e-12)


def test_a_plane_has_one_slope_up_to_its_edge():
    east, north = np.meshgrid(np.arange(7) * 4.0, np.arange(5) * 3.0)
    found = gradients(0.3 * east - 0.2 * north, 4, 3)
    assert_allclose(found[0], 0.3)
    assert_allclose(found[1], -0.2)
