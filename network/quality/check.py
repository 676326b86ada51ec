"""The shape of a check: how it looks, how much it counts, and what it tells the keeper."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from network.quality.evidence import Evidence
from network.quality.window import Window

Family = Literal["instrument", "limits", "own past", "own other variables", "neighbours", "long run"]
Thresholds = Mapping[str, float]

STRONG = 2.0
"""Strain from which evidence is strong: twice the tolerance."""


@dataclass(frozen=True)
class Check:
    """One check, by its name in the trade.

    ``meaning`` is a sentence for the keeper with the places {variable}, {observed}, {expected},
    {tolerance}, {low}, {high} and {hint}.
    """

    name: str
    bit: int
    """Its place in the stored mark, 0 to 27. Never reused, never changed."""
    family: Family
    source: str
    thresholds: Thresholds
    needs: str
    meaning: str
    advice: str
    judge: Callable[[Window, Thresholds], Iterable[Evidence]]
    weight: float = 1.0
    strong_weight: float | None = None
    """What it counts where the strain is strong; its weight where None."""
    decisive: bool = False
    """Whether it may call a reading wrong alone: physical impossibility and the end of a range only."""
    excused_by: str | None = None
    """The neighbour check that, where it is content, takes back what this one says."""
    unfit_at: float = float("inf")
    """Strain from which a reading may not stand in for its neighbours, even if only doubtful."""

    def look(self, window: Window) -> list[Evidence]:
        """Evidence for each variable the check knows, with the station's own thresholds where it has some."""
        own = window.overrides.get(self.name, {})
        unknown = own.keys() - self.thresholds.keys()
        if unknown:
            known = ", ".join(self.thresholds) or "none"
            raise ValueError(f"The check {self.name} has no threshold {min(unknown)!r}: use one of {known}.")
        return list(self.judge(window, {**self.thresholds, **own}))
