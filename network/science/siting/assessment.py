"""What an assessment says: the class, why, what is not answered yet, and the one change that would gain most."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from network.science.siting.surroundings import Surroundings

BEST, WORST = 1, 5


@dataclass(frozen=True)
class Finding:
    """What one rule of the guide makes of the surroundings."""

    siting_class: int | None  # the best class it allows; None while its question is open
    words: str  # why, as a sentence
    question: str = ""  # what would have to be answered


@dataclass(frozen=True)
class Change:
    """Something a household could do, and the surroundings afterwards."""

    words: str
    after: Surroundings


@dataclass(frozen=True)
class Gain:
    """The change that gains most, with the class it leads to."""

    words: str
    siting_class: int


@dataclass(frozen=True)
class Assessment:
    """A variable's siting, worked out."""

    at_best: int  # the class that the answers so far allow
    findings: tuple[Finding, ...]  # the hardest first
    gain: Gain | None

    @property
    def open_questions(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(each.question for each in self.findings if each.siting_class is None))

    @property
    def siting_class(self) -> int | None:
        """The class; None while an open question could still make it another."""
        return self.at_best if self.at_best == WORST or not self.open_questions else None


Rules = Callable[[Surroundings], tuple[Finding, ...]]
Changes = Callable[[Surroundings], Iterable[Change]]


def weigh(surroundings: Surroundings, rules: Rules, changes: Changes) -> Assessment:
    """Hold surroundings against the rules, then the changes one by one, the easiest first."""
    findings = tuple(sorted(rules(surroundings), key=lambda each: -(each.siting_class or 0)))
    at_best = _class(findings)
    gain: tuple[tuple[int, int], str] | None = None
    for change in changes(surroundings) if at_best > BEST else ():
        after = rules(change.after)
        rank = _class(after), sum(each.siting_class or 0 for each in after)
        if gain is None or rank < gain[0]:
            gain = rank, change.words
    lifts = gain is not None and gain[0] < (at_best, sum(each.siting_class or 0 for each in findings))
    return Assessment(at_best, findings, Gain(gain[1], gain[0][0]) if gain and lifts else None)


def _class(findings: Iterable[Finding]) -> int:
    """The hardest rule decides."""
    return max((each.siting_class or BEST for each in findings), default=BEST)
