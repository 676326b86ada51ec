"""What falls after each hour: never the hour itself, and nothing where an hour is missing."""

import numpy as np

from network.science.lookahead import fallen_after


def test_the_sum_is_of_the_hours_after_and_never_of_the_hour_itself() -> None:
    fallen, known = fallen_after([7.0, 1.0, 2.0, 4.0], 3)
    assert fallen.tolist() == [7.0] and known.tolist() == [3.0]
    fallen, _ = fallen_after([5.0, 0.0, 3.0], 1)
    assert fallen.tolist() == [0.0, 3.0]


def test_a_missing_hour_is_no_dry_one() -> None:
    fallen, known = fallen_after([0.0, 0.0, np.nan, 1.0, 2.0], 2)
    assert np.isnan(fallen[:2]).all() and fallen[2] == 3.0
    assert known.tolist() == [1.0, 1.0, 2.0]
