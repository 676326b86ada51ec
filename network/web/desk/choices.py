"""The decisions about a case as sentences to choose from, each with what it would change."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.timezone import localtime

from network.models import Case, Decision
from network.models.decision import WITH_IT
from network.pipeline.cases.effects import NotPossible, channel_of, mended_unit, shifted
from network.pipeline.cases.foresee import Foreseen, Foresight
from network.pipeline.cases.propose import Proposal, can_shift
from network.pipeline.neighbours.departures import Departures
from network.quality.verdict import DOUBTFUL, GOOD, UNCHECKED, WRONG
from network.science.units import convert, sign, units_for
from network.science.variables import VARIABLES
from network.web.desk.figures import signed
from network.web.desk.forms import CaseForm
from network.web.quantities import difference, hour, usual_unit

Kind = Decision.Kind


@dataclass(frozen=True)
class Choice:
    """One sentence to choose, and what would change under it."""

    kind: str
    key: int
    sentence: str
    change: str
    chosen: bool
    why: str  # it is the likeliest, and why; '' for the others
    units: list[tuple[str, str, bool]]  # symbol, sign, chosen: for a change of unit
    offset: str  # for a calibration, in the unit shown; '' elsewhere
    offset_unit: str
    minutes: str  # for a clock: how far it runs ahead; '' elsewhere
    after: Departures | None = None  # for the chosen one, where it mends: the departures as they would be


def choices(ahead: Foresight, proposal: Proposal, form: CaseForm) -> list[Choice]:
    """All decisions that a case allows, the proposed or the one being filled in chosen."""
    return list(_choices(ahead, proposal, form))


def _choices(ahead: Foresight, proposal: Proposal, form: CaseForm) -> Iterator[Choice]:
    case = ahead.case
    about = f"its {case.words}" if case.variable else "the station"
    filled = form.is_bound and form.is_valid()
    chosen = form.data.get("kind") if form.is_bound else proposal.kind
    sentences = {
        Kind.KEEP: "The checks are right: the verdict stands.",
        Kind.BELIEVE: "The station was right: believe these readings.",
        Kind.REJECT: "These readings were wrong, all that are in doubt.",
        Kind.SET_ASIDE: f"Keep {about} out of the maps until further notice.",
        Kind.CHANGE_UNIT: "The device really sends another unit:",
        Kind.CALIBRATE: "It is off by a steady amount; to every reading, add:",
        Kind.FIX_CLOCK: "Its clock is off. By so many minutes it runs ahead (a minus: behind):",
        Kind.MAINTENANCE: "Somebody was at work on it: none of these readings is weather.",
        Kind.ASK: "Ask the keeper first; the question is the reason you write below.",
    }
    for key, (kind, sentence) in enumerate(sentences.items(), 1):
        if not _allowed(case, kind):
            continue
        given = proposal.given if kind == proposal.kind else {}
        span = proposal.span if kind == proposal.kind else None
        if filled and form.cleaned_data["kind"] == kind:
            given, span = form.given(), form.span()
        change, after = _change(ahead, kind, given, span)
        yield Choice(
            kind=kind,
            key=key,
            sentence=sentence,
            change=change,
            chosen=kind == chosen,
            why=proposal.why if kind == proposal.kind else "",
            units=_units(case, given.get("unit", "")) if kind == Kind.CHANGE_UNIT else [],
            offset=_offset(case, given.get("offset")) if kind == Kind.CALIBRATE else "",
            offset_unit=sign(usual_unit(case.variable)) if kind == Kind.CALIBRATE else "",
            minutes=_minutes(given.get("fast_by")) if kind == Kind.FIX_CLOCK else "",
            after=after if kind == chosen else None,
        )


def _allowed(case: Case, kind: str) -> bool:
    """Whether the station's metadata leaves room for the decision at all."""
    if kind == Kind.FIX_CLOCK:
        return not case.variable and case.check_name != "supply"
    if kind == Kind.CALIBRATE:
        return can_shift(case, 1.0)
    if kind != Kind.CHANGE_UNIT:
        return True
    try:
        spoken = channel_of(case).unit
        other = next(unit for unit in units_for(VARIABLES[case.variable]) if sign(unit) != sign(spoken))
        mended_unit(case, other)
    except (NotPossible, StopIteration, ValueError):
        return False
    return True


def _change(
    ahead: Foresight, kind: str, given: dict, span: tuple[int, int] | None
) -> tuple[str, Departures | None]:
    """What a decision would change, in words, and the departures as they would be."""
    if kind in (Kind.CHANGE_UNIT, Kind.CALIBRATE, Kind.FIX_CLOCK) and not any(given.values()):
        return "Fill it in and press ‘Show what would change’.", None
    case = ahead.case
    try:
        seen = ahead.of(kind, span, **given)
    except NotPossible as problem:
        return str(problem), None
    since = {"since": span[0]} if span and span[0] != case.begins_at else {}
    return _IN_WORDS[kind](case, seen, given | since), seen.after


def _keep(case: Case, seen: Foreseen, given: dict) -> str:
    return f"Nothing changes: {_counted(case, seen)}. The case leaves the desk and stays away while the same goes on."


def _believe(case: Case, seen: Foreseen, given: dict) -> str:
    return f"{seen.change} {_readings(case, seen.change)} would become good and stand in the maps again."


def _reject(case: Case, seen: Foreseen, given: dict) -> str:
    good = seen.verdicts[GOOD]
    between = f" {good} good {_readings(case, good)} between them stay good." if good else ""
    if not seen.change:
        return f"Nothing changes: what is in doubt is wrong already.{between}"
    return f"{seen.change} {_readings(case, seen.change)} would become wrong.{between}"


def _set_aside(case: Case, seen: Foreseen, given: dict) -> str:
    lost = sum(seen.lost.values())
    others = [VARIABLES[name].words for name in seen.lost if name != case.variable] if case.variable else []
    told = (
        f"{lost} good {'value' if lost == 1 else 'values'} since then would leave the maps, and whatever comes, "
        "until you undo it."
        if lost
        else "Nothing of it since then stands in the maps; whatever comes would stay out, until you undo it."
    )
    return f"{told} With it {_goes(others)}, worked out from it." if others else told


def _goes(names: list[str]) -> str:
    return f"{'goes' if len(names) == 1 else 'go'} the {' and the '.join(names)}"


def _ask(case: Case, seen: Foreseen, given: dict) -> str:
    return (
        "Nothing changes: the keeper gets your question as a notice, with a page to answer it. The case stays here, "
        "and you are told when an answer comes."
    )


def _maintenance(case: Case, seen: Foreseen, given: dict) -> str:
    there = sum(seen.verdicts.values())
    newly = f", {seen.change} of them newly," if 0 < seen.change < there else ""
    return (
        f"{there} {_readings(case, there)}{newly} would be wrong for that reason, and the case is gone: "
        "no check and no notice speaks of them."
    )


def _clock(case: Case, seen: Foreseen, given: dict) -> str:
    before, after = seen.before, seen.after
    minutes = _minutes(abs(given["fast_by"]))
    told = f"Every reading would be {minutes} minutes {'earlier' if given['fast_by'] > 0 else 'later'}"
    if before is None or after is None or not len(after):
        return f"{told}; no neighbours tell how well that fits."
    name = before.variable
    return (
        f"{told}. The {VARIABLES[name].words} typically stands {difference(name, before.typical)} off its neighbours and would "
        f"stand {difference(name, after.typical)} off; {after.fitting} of {len(after)} comparisons would fit the neighbours "
        f"instead of {before.fitting}. The checks then look again."
    )


def _unit(case: Case, seen: Foreseen, given: dict) -> str:
    return f"Read as {sign(given['unit'])}, {_departures(case, seen)}"


def _calibration(case: Case, seen: Foreseen, given: dict) -> str:
    since = localtime(shifted(case, given).begins_at)
    added = f"With {signed(case.variable, given['offset'])} added from {since.day} {since:%B %Y}, {hour(since)} on"
    return f"{added}, {_departures(case, seen)}"


def _departures(case: Case, seen: Foreseen) -> str:
    before, after = seen.before, seen.after
    if before is None or after is None or not len(after):
        return "the readings are checked anew; no neighbours tell how well it fits."
    return (
        f"the median departure goes from {signed(case.variable, before.median)} to {signed(case.variable, after.median)}, "
        f"and {after.fitting} of {len(after)} comparisons fit the neighbours instead of {before.fitting}. "
        "The checks then look again."
    )


def _counted(case: Case, seen: Foreseen) -> str:
    order = ((WRONG, "wrong"), (DOUBTFUL, "doubtful"), (UNCHECKED, "unchecked"), (GOOD, "good"))
    parts = [f"{seen.verdicts[code]} {word}" for code, word in order if seen.verdicts[code]]
    return f"{', '.join(parts) or 'no'} {_readings(case, sum(seen.verdicts.values()))} stay so"


def _readings(case: Case, count: int) -> str:
    """Of one variable they are readings; of several, each report holds as many values."""
    word = "reading" if case.variable and case.variable not in WITH_IT else "value"
    return word if count == 1 else f"{word}s"


def _units(case: Case, chosen: str) -> list[tuple[str, str, bool]]:
    spoken = sign(channel_of(case).unit)
    offered = [unit for unit in units_for(VARIABLES[case.variable]) if sign(unit) != spoken]
    return [(unit, sign(unit), unit == chosen) for unit in offered]


def _minutes(fast_by: float | None) -> str:
    return f"{fast_by / 60:g}" if fast_by else ""


def _offset(case: Case, offset: float | None) -> str:
    if not offset:
        return ""
    variable = VARIABLES[case.variable]
    shown = convert([offset, 0.0], variable.unit, variable.shown_unit)
    return f"{float(shown[0] - shown[1]):.{variable.decimals}f}"


_IN_WORDS = {
    Kind.KEEP: _keep,
    Kind.BELIEVE: _believe,
    Kind.REJECT: _reject,
    Kind.SET_ASIDE: _set_aside,
    Kind.CHANGE_UNIT: _unit,
    Kind.CALIBRATE: _calibration,
    Kind.FIX_CLOCK: _clock,
    Kind.MAINTENANCE: _maintenance,
    Kind.ASK: _ask,
}
