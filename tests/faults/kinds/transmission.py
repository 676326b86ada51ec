"""What happens on the way and must change nothing: reports twice, in any order, or not at all."""

from dataclasses import replace

import numpy as np

from tests.faults.kind import EVERYTHING, Kind, all_within
from tests.faults.said import Bools, Said


def unchanged(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """The board says what it should; ``hub.reports`` sends the span's reports twice and shuffled."""
    return said


def silent(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """Nothing is said."""
    return replace(
        said, values={name: np.where(where, np.nan, values) for name, values in said.values.items()}
    )


def whole_span(honest: Said, said: Said, where: Bools, variable: str) -> Bools:
    """Every reading of the span, there or not."""
    return where.copy()


TWICE = "duplicate and out of order"

KINDS = (
    Kind(TWICE, EVERYTHING, (1.0, 2.0), unchanged, frozenset(), affects=all_within, harmless=True),
    Kind("gap", EVERYTHING, (6 / 24, 1.0), silent, frozenset(), affects=whole_span, harmless=True),
)
