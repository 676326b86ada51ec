"""The parts of a period put together."""

import numpy as np

from network.pipeline.records.parts import Parts, of_village

NAMES = ("mean", "low", "high", "rain", "rain_missing", "wind", "gust", "good", "reports")


def test_a_period_that_has_just_begun_has_no_parts_yet() -> None:
    midnight = np.array([1_774_483_200])
    just_begun = Parts(midnight, **dict.fromkeys(NAMES, np.empty(0)))
    for stations in ([], [just_begun, just_begun]):
        village = of_village(stations, midnight)
        assert [getattr(village, name).size for name in NAMES] == [0] * len(NAMES)
