"""The map as paths, on fields whose shape is known."""

import re

import numpy as np
import pytest

from network.spatial.sites import Grid
from network.web import village_map_picture as draw
from network.web.axes import multiples, round_step

GRID = Grid(-1000.0, -500.0, 1000.0, 500.0, 20, 40)
CANVAS = draw.Canvas(GRID)
EASTWARD = np.tile(np.linspace(0.0, 4.0, 40), 20)  # rises from 0 at the west to 4 at the east


def points(path: str) -> np.ndarray:
    return np.array(re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path), float)


@pytest.mark.parametrize(("least", "step"), [(0.07, 0.1), (0.1, 0.1), (0.3, 0.5), (1.2, 2.0), (6.0, 10.0)])
def test_steps_are_round(least, step):
    assert round_step(least) == pytest.approx(step)


def test_multiples_reach_both_ends():
    assert multiples(0.5, -1.0, 1.0).tolist() == [-1.0, -0.5, 0.0, 0.5, 1.0]


def test_the_picture_has_the_shape_of_the_village_and_north_is_up():
    assert pytest.approx(draw.WIDTH * 950 / 1950, abs=1) == CANVAS.height
    assert float(CANVAS.y(GRID.northings[-1])) == 0
    assert float(CANVAS.x(GRID.eastings[-1])) == draw.WIDTH


def test_isolines_of_a_slope_stand_where_the_slope_says_and_carry_their_figures():
    lines = draw.isolines(CANVAS, EASTWARD, np.full(800, 0.1), 1.0, [])
    inner = {line.figure: line for line in lines if line.figure in "123"}
    for figure, line in inner.items():
        assert points(line.known)[:, 0] == pytest.approx(draw.WIDTH * float(figure) / 4, abs=1)
        assert line.guessed == ""
        assert line.spots


def test_isolines_are_dashed_where_the_error_exceeds_half_their_step():
    error = np.repeat(np.linspace(0.0, 1.0, 20), 40)  # grows to the north; half a step lies in the middle
    line = next(line for line in draw.isolines(CANVAS, EASTWARD, error, 1.0, []) if line.figure == "2")
    middle = CANVAS.height / 2
    assert points(line.known)[:, 1].min() > middle - 30
    assert points(line.guessed)[:, 1].max() < middle + 30


def test_figures_keep_off_what_stands_there():
    taken = [(draw.WIDTH / 2, y) for y in range(0, CANVAS.height, 20)]
    lines = draw.isolines(CANVAS, EASTWARD, np.zeros(800), 1.0, taken)
    assert next(line for line in lines if line.figure == "2").spots == []


def test_the_tint_deepens_with_the_value_and_fades_where_little_is_known():
    opacity = [tint.opacity for tint in draw.tints(CANVAS, EASTWARD, 1.0)]
    assert opacity == sorted(opacity)
    assert draw.fades(CANVAS, np.full(800, 0.1), 1.0) == []
    assert max(fade.opacity for fade in draw.fades(CANVAS, np.full(800, 3.0), 1.0)) >= 0.9


def test_more_rain_has_more_dots_and_none_has_none():
    dots = [draw.stipple(CANVAS, np.full(800, amount)).count("h0") for amount in (0.0, 1.0, 5.0, 20.0)]
    assert dots[0] == 0
    assert dots == sorted(set(dots))


def test_dots_stand_only_where_it_rained():
    wet_east = np.where(EASTWARD > 2, 5.0, 0.0)
    across = np.array(re.findall(r"M(\d+) ", draw.stipple(CANVAS, wet_east)), float)
    assert across.min() > draw.WIDTH * 0.48


def test_an_arrow_flies_with_the_wind():
    # A westerly blows towards the east: its tip lies right of its tail; a southerly's above it, for y runs down.
    tail, tip = points(draw.arrow(100, 100, 5.0, 0.0))[:2]
    assert tip[0] > tail[0] and tip[1] == tail[1]
    tail, tip = points(draw.arrow(100, 100, 0.0, 5.0))[:2]
    assert tip[1] < tail[1] and tip[0] == tail[0]


def test_a_stronger_wind_has_a_longer_arrow():
    lengths = [np.ptp(points(draw.arrow(100, 100, speed, 0.0))[:2, 0]) for speed in (1.0, 3.0, 6.0)]
    assert lengths == sorted(set(lengths))
