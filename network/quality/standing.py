"""What the long run found, as evidence about each reading it is about."""

from collections.abc import Callable, Iterator

import numpy as np

from network.quality.check import Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def standing(check: str, *, corrects: bool = False) -> Callable[[Window, Thresholds], Iterator[Evidence]]:
    """A ``judge`` for a check of the long run: its findings, held against the readings within them.

    With ``corrects`` the size of a finding is how far the readings are off, in the unit of the variable, and
    the reading without it is what was expected. A finding about the station as a whole speaks of every variable.
    """

    def judge(window: Window, _: Thresholds) -> Iterator[Evidence]:
        for found in window.findings:
            if found.check != check:
                continue
            for variable in (found.variable,) if found.variable else tuple(window.values):
                if variable in window.values:
                    values = window.values[variable]
                    within = (window.seconds > found.begins_at) & (window.seconds <= found.ends_at)
                    strain = np.where(within & np.isfinite(values), found.strain, np.nan)
                    expected = values - found.size if corrects else None
                    tolerance = abs(found.size) / found.strain if corrects else None
                    yield Evidence(check, variable, strain, expected, tolerance, found.hint)

    return judge
