"""Outside what is physically possible at the surface of the Earth."""

from collections.abc import Iterator

from network.quality.check import Check, Thresholds
from network.quality.evidence import Evidence, held_against
from network.quality.window import Window


def look(window: Window, thresholds: Thresholds) -> Iterator[Evidence]:
    for variable, values in window.values.items():
        low, high = window.limits(variable)
        yield held_against("physical", variable, values, (low + high) / 2, (high - low) / 2)


CHECK = Check(
    name="physical",
    bit=2,
    family="limits",
    source="Zahumenský (2004), plausible values, read second-hand; others as the catalogue says",
    thresholds={},
    needs="nothing",
    meaning="The {variable} read {observed}, which is not possible on Earth: it runs from {low} to {high}.",
    advice="It is most likely an error code or a loose wire that was passed on as a value.",
    judge=look,
    decisive=True,
    unfit_at=1.0,
)
