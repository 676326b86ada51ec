"""Two different values for one instant."""

from collections.abc import Iterator

import numpy as np

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    for variable, twice in window.repeated.items():
        if variable in window.values:
            strain = np.where(np.isnan(window.values[variable]), np.nan, np.where(twice, 2.0, 0.0))
            yield Evidence("repeated", variable, strain)


CHECK = Check(
    name="repeated",
    bit=8,
    family="own past",
    source="common practice: one station, one instant, one value",
    thresholds={},
    needs="reports for the same instant",
    meaning="The station sent another {variable} than {observed} for the very same time.",
    advice="A clock that is put back does this, in autumn above all. Let the station keep UTC.",
    judge=look,
)
