"""The shape of a check: how it looks, how much it counts, and what it tells the keeper."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from network.quality.evidence import Evidence
from network.quality.finding import Finding
from network.quality.record import Record
from network.quality.window import Window

Family = Literal["instrument", "limits", "own past", "own other variables", "neighbours", "long run"]
Thresholds = Mapping[str, float]

STRONG = 2.0
"""Strain from which evidence is strong: twice the tolerance."""


@dataclass(frozen=True)
class Check:
    """One check, by its name in the trade.

    ``meaning`` is a sentence for the keeper with the places {variable}, {observed}, {expected},
    {tolerance}, {low}, {high}, {size} (how far observed and expected lie apart) and {hint}.
    """

    name: str
    bit: int
    """Its place in the stored mark, 0 to 26 or 29 to 48. Never reused, never changed."""
    family: Family
    source: str
    thresholds: Thresholds
    needs: str
    meaning: str
    advice: str
    judge: Callable[[Window, Thresholds], Iterable[Evidence]]
    seek: Callable[[Record, Thresholds], Iterable[Finding]] | None = None
    """For the long run: what weeks show. What was found is held against each reading by ``judge``."""
    of_station: bool = False
    """Whether the fault is the station's as a whole, whatever variables it shows in: a clock, a battery."""
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
        return list(self.judge(window, self._held(window)))

    def look_back(self, record: Record) -> list[Finding]:
        """What the check finds in some weeks of one station; nothing where it is not of the long run."""
        return [] if self.seek is None else list(self.seek(record, self._held(record)))

    def _held(self, seen: Window | Record) -> Thresholds:
        own = seen.overrides.get(self.name, {})
        unknown = own.keys() - self.thresholds.keys()
        if unknown:
            known = ", ".join(self.thresholds) or "none"
            raise ValueError(f"The check {self.name} has no threshold {min(unknown)!r}: use one of {known}.")
        return {**self.thresholds, **own}
