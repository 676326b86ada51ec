"""The shapes of a field."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import gamma, kv

from network.science.variables import VARIABLES
from network.spatial.field import Field

DISTANCES = np.array([1.0, 250.0, 800.0, 3000.0])


def test_the_matern_field_is_the_general_one_of_smoothness_three_halves():
    # Rasmussen and Williams (2006), eq. 4.14, by SciPy's Bessel function (cross-check, from memory).
    scaled = np.sqrt(3) * DISTANCES / 600
    general = 2 ** (1 - 1.5) / gamma(1.5) * scaled**1.5 * kv(1.5, scaled)
    assert_allclose(Field(2.0, 600, kind="matern").covariance(DISTANCES), 4 * general, rtol=1e-12)


def test_a_spherical_field_ends_at_its_reach():
    field = Field(2.0, 800, kind="spherical")
    assert_allclose(field.covariance([0, 400, 800, 900]), [4, 4 * (1 - 0.75 + 0.0625), 0, 0], atol=1e-12)


def test_an_exponential_field_falls_to_one_part_in_e_at_its_reach():
    assert_allclose(Field(1.0, 500).covariance([0, 500]), [1, np.exp(-1)])


def test_the_catalogue_describes_a_field():
    field = Field.of(VARIABLES["air_temperature"].field)
    assert (field.gradient, field.kind, field.mean_spread) == (-0.0065, "exponential", np.inf)


@pytest.mark.parametrize(
    "wrong", [{"spread": 0}, {"reach": 0}, {"gradient_spread": -1}, {"kind": "linear", "mean_spread": 1}]
)
def test_a_field_that_cannot_be_is_refused(wrong):
    with pytest.raises(ValueError, match=r"field|spread"):
        Field(**{"spread": 1.0, "reach": 100.0, **wrong})
