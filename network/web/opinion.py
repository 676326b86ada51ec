"""What the hub thinks of a station, in words, and the one thing to do next."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from network.models import Case
from network.pipeline.neighbours.scorecard import Recent, Regularity
from network.quality.checks import check_named
from network.science.collocation import SURE
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

RAIN_TELLS_LITTLE = " from report to report, which alone would not show a blocked funnel"

OFTEN = 0.9
"""Share of reports below which a station reports too seldom."""

SELDOM = 0.01
"""Share of late reports not worth a word."""

GOES_ON = 6 * 3600
"""[s] A case whose last reading is not older goes on."""

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
    state: str  # whether it goes on


@dataclass(frozen=True)
class Opinion:
    """All of it."""

    judgements: list[Judgement]
    cases: list[OpenCase]
    availability: str
    next_step: str


def opinion(
    moment: Moment,
    scores: list[Recent],
    cases: list[Case],
    regular: Regularity | None,
    notes: list[SitingNote],
    unknown: list[str],
) -> Opinion:
    """From what was worked out of the last days; ``unknown`` are channel names nobody has set up."""
    shown_cases = [_case(case, moment) for case in cases]
    return Opinion(
        judgements=[judge(score) for score in scores],
        cases=shown_cases,
        availability=_availability(regular, moment),
        next_step=next(_steps(cases, regular, notes, unknown, moment)),
    )


def judge(recent: Recent) -> Judgement:
    """How a variable stands beside the neighbours, and how much it scatters by itself."""
    scored, variable = recent.scored, VARIABLES[recent.scored.variable]
    usual = max(scored.expected_error, variable.accuracy)
    sunny = recent.by_day - recent.by_night if scored.variable == "air_temperature" else np.nan
    warms = SUNNY < sunny < HOPELESS
    if abs(scored.bias) <= usual:
        rain = scored.variable == "rain_amount"
        text = f"agrees with them{RAIN_TELLS_LITTLE if rain else ''}"
    else:
        side = "high" if scored.bias > 0 else "low"
        way = (HIGH if scored.bias > 0 else LOW).get(scored.variable, side)
        text = f"reads {_figure(recent, scored.bias)} {way}"
        if np.isfinite(scored.bias_error):
            text += f", give or take {_figure(recent, SURE * scored.bias_error)}"
    text += _scatter(recent)
    if warms and abs(scored.bias) < HOPELESS:
        text += f"; {difference(scored.variable, sunny, 1)} warmer in sunshine than at night, so look at its shield"
    return Judgement(variable.words, text, bool(abs(scored.bias) > usual or warms))


def _scatter(recent: Recent) -> str:
    scored = recent.scored
    if np.isfinite(scored.random_error):
        low, high = (_figure(recent, each) for each in (scored.low, scored.high))
        how = "told with two others at a time" if scored.method == "collocation" else "told by its departures"
        return f"; its own scatter is about {_figure(recent, scored.random_error)} ({low} to {high}, {how})"
    if np.isfinite(scored.high):
        return f"; its own scatter is no more than {_figure(recent, scored.high)}"
    return ""


def _figure(recent: Recent, value: float) -> str:
    name = recent.scored.variable
    return difference(name, value, max(VARIABLES[name].decimals, 1))


def _case(case: Case, moment: Moment) -> OpenCase:
    return OpenCase(
        pk=case.pk,
        since=datetime.fromtimestamp(case.begins_at, moment.zone),
        words=case.words,
        sentence=sentence(case),
        verdict="wrong" if case.verdict == 3 else "doubtful",
        state=_state(case, moment),
    )


def _state(case: Case, moment: Moment) -> str:
    if case.readings == 1:
        return "was a single reading"
    return "goes on" if case.ends_at > moment.at - GOES_ON else "is over"


def _availability(regular: Regularity | None, moment: Moment) -> str:
    if regular is None:
        return f"Nothing has come from it in the last {DAYS} days."
    share = int(100 * regular.share)
    text = f"{'All' if share >= 100 else f'{share} %'} of its reports arrived"
    if regular.late >= SELDOM:
        text += f", {int(100 * regular.late)} % of them late"
    if regular.longest_silence > 3600:
        began = datetime.fromtimestamp(regular.silent_from, moment.zone)
        text += (
            f"; the longest silence was {how_long(regular.longest_silence)}, from {began:%H:%M} on {began:%A}"
        )
    return text + "."


def _steps(
    cases: list[Case],
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
        yield f"{case.words.capitalize()}: {check_named(case.check_name).advice}"
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
