"""The steward's word over marks, without a village around it."""

import numpy as np
import pytest

from network.models import Decision
from network.pipeline.verdicts.steward import overrule
from network.quality.verdict import DOUBTFUL


@pytest.mark.parametrize("kind", [Decision.Kind.BELIEVE, Decision.Kind.REJECT])
def test_a_decision_about_a_check_that_was_given_up_since_changes_nothing(kind):
    marks = {"air_temperature": np.array([0, DOUBTFUL | 1 << 10])}
    decision = Decision(
        station_id=1, kind=kind, begins_at=0, ends_at=9, parameters={"check": "no such check any more"}
    )
    spoken = overrule(marks, 1, np.array([1, 2]), [decision])
    np.testing.assert_array_equal(spoken["air_temperature"], marks["air_temperature"])
