"""What the hub thinks of a station, in words, and the one thing to do next."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from network.models import Case, Evidence
from network.pipeline.scorecard import Regularity, Score
from network.quality.checks import CHECKS
from network.science.siting import added_uncertainty
from network.science.variables import VARIABLES
from network.web.moment import Moment
from network.web.quantities import difference, how_long
from network.web.reasons import sentence
from stations.models import SitingNote

DAYS = 7
"""How far back an opinion looks."""

SUNNY = 0.5
"""[K] So much warmer by day than by night, against the neighbours, is worth a word (common practice)."""

HOPELESS = 5.0
"""[K] Beyond this no sunshine is to blame (common practice)."""

OFTEN = 0.9
"""Share of reports below which a station reports too seldom."""

GOES_ON = 6 * 3600
"""[s] A case whose last reading is not older goes on."""

TELLING = ("unit_hypothesis", "range_end", "supply", "rotor", "rain_missed", "pressure_for_elevation")
"""Checks that name a cause; where one spoke, its advice is better than that of the loudest."""

HIGH, LOW = {"air_temperature": "warm"}, {"air_temperature": "cold"}


@dataclass(frozen=True)
class Judgement:
    """One variable against the neighbours."""

    words: str
    sentence: str
    stands_out: bool


@dataclass(frozen=True)
class OpenCase:
    """A fault that nobody has settled."""

    pk: int
    since: datetime
    words: str
    sentence: str
    verdict: str
    going_on: bool


@dataclass(frozen=True)
class Opinion:
    """All of it."""

    judgements: list[Judgement]
    cases: list[OpenCase]
    availability: str
    next_step: str


def opinion(
    moment: Moment,
    scores: list[Score],
    cases: list[Case],
    regular: Regularity | None,
    notes: list[SitingNote],
    unknown: list[str],
) -> Opinion:
    """From what was worked out of the last days; ``unknown`` are channel names nobody has set up."""
    telling = {(case.variable, case.begins_at): name for case in cases if (name := _telling(case))}
    shown_cases = [_case(case, moment) for case in cases]
    return Opinion(
        judgements=[_judge(score) for score in scores],
        cases=shown_cases,
        availability=_availability(regular, moment),
        next_step=next(_steps(cases, telling, regular, notes, unknown, moment)),
    )


def _judge(score: Score) -> Judgement:
    variable = VARIABLES[score.variable]
    usual = max(score.error, variable.accuracy)
    spread = difference(score.variable, score.spread, max(variable.decimals, 1))
    sunny = score.by_day - score.by_night if score.variable == "air_temperature" else np.nan
    warms = SUNNY < sunny < HOPELESS
    if abs(score.median) <= usual:
        text = (
            f"agrees with them, mostly to within {spread}"
            if score.spread > usual / 10
            else "agrees with them"
        )
    else:
        way = (HIGH if score.median > 0 else LOW).get(score.variable, "high" if score.median > 0 else "low")
        text = f"reads {difference(score.variable, score.median, max(variable.decimals, 1))} {way}, give or take {spread}"
    if warms and abs(score.median) < HOPELESS:
        text += f"; {difference(score.variable, sunny, 1)} warmer in sunshine than at night, so look at its shield"
    return Judgement(variable.words, text, bool(abs(score.median) > usual or warms))


def _case(case: Case, moment: Moment) -> OpenCase:
    return OpenCase(
        pk=case.pk,
        since=datetime.fromtimestamp(case.begins_at, moment.zone),
        words=VARIABLES[case.variable].words,
        sentence=sentence(case),
        verdict="wrong" if case.verdict == 3 else "doubtful",
        going_on=case.ends_at > moment.at - GOES_ON,
    )


def _availability(regular: Regularity | None, moment: Moment) -> str:
    if regular is None:
        return f"Nothing has come from it in the last {DAYS} days."
    share = int(100 * regular.share)
    text = f"{'All' if share >= 100 else f'{share} %'} of its reports arrived"
    if regular.longest_silence > 3600:
        began = datetime.fromtimestamp(regular.silent_from, moment.zone)
        text += (
            f"; the longest silence was {how_long(regular.longest_silence)}, from {began:%H:%M} on {began:%A}"
        )
    return text + "."


def _telling(case: Case) -> str | None:
    spoke = Evidence.objects.filter(
        station=case.station_id, variable=case.variable, begins_at__range=(case.begins_at, case.ends_at)
    ).filter(check_name__in=TELLING)
    return min(spoke.values_list("check_name", flat=True), key=TELLING.index, default=None)


def _steps(
    cases: list[Case],
    telling: dict[tuple[str, int], str],
    regular: Regularity | None,
    notes: list[SitingNote],
    unknown: list[str],
    moment: Moment,
) -> Iterator[str]:
    """What would help, most helpful first."""
    if regular is None:
        yield "Bring it back on the air: is it powered, and within reach of the Wi-Fi?"
        return
    if regular.silent_from + regular.longest_silence >= moment.at and regular.longest_silence > 7200:
        yield f"It has been silent for {how_long(regular.longest_silence)}: look at its power and its Wi-Fi."
    for case in sorted(cases, key=lambda case: (case.ends_at < moment.at - GOES_ON, -case.weight)):
        check = telling.get((case.variable, case.begins_at), case.check_name)
        yield f"{VARIABLES[case.variable].words.capitalize()}: {CHECKS[check].advice}"
    if unknown:
        yield f"Say what the channel ‘{unknown[0]}’ measures: it is kept, but nobody knows what it means."
    if regular.share < OFTEN:
        yield "Too many reports are lost: a board that keeps what it could not send, and sends it later, loses none."
    if not notes:
        yield "Describe what stands around the instruments, so that the map knows how far to trust them."
    if worst := _worst_sited(notes):
        yield (
            f"Nothing is wrong. What would gain most is a freer place for the {VARIABLES[worst.variable].words} sensor"
            f" (siting class {worst.siting_class} of 5)."
        )
    yield "Nothing: it does well."


def _worst_sited(notes: list[SitingNote]) -> SitingNote | None:
    known = [note for note in notes if note.siting_class]

    def harm(note: SitingNote) -> float:
        variable = VARIABLES[note.variable]
        return float(np.divide(added_uncertainty(variable, note.siting_class), variable.accuracy))

    worst = max(known, key=harm, default=None)
    return worst if worst is not None and harm(worst) > 1 else None
