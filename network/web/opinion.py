"""What the hub thinks of a station, in words, and the one thing to do next."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from network.models import Case
from network.pipeline.neighbours.scorecard import Recent, Regularity
from network.science.collocation import SURE
from network.science.siting import added_uncertainty
from network.science.variables import VARIABLES
from network.web.moment import Moment
from network.web.quantities import by_format, difference, hour, how_long, words_of
from network.web.reasons import advice, sentence
from stations.models import SitingNote

DAYS = 7
"""How far back an opinion looks."""

SUNNY = 0.5
"""[K] So much warmer by day than by night, against the neighbours, is worth a word (common practice)."""

HOPELESS = 5.0
"""[K] Beyond this no sunshine is to blame (common practice)."""

OFTEN = 0.9
"""Share of reports below which a station reports too seldom."""

SELDOM = 0.01
"""Share of late reports not worth a word."""

GOES_ON = 6 * 3600
"""[s] A case whose last reading is not older goes on."""

HIGH, LOW = gettext_noop("reads {by} high"), gettext_noop("reads {by} low")
WARM, COLD = gettext_noop("reads {by} warm"), gettext_noop("reads {by} cold")


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
    if abs(scored.bias) > usual:
        text = _reads(recent)
    elif scored.variable == "rain_amount":
        text = _("agrees with them from report to report, which alone would not show a blocked funnel")
    else:
        text = _("agrees with them")
    text += _scatter(recent)
    if warms and abs(scored.bias) < HOPELESS:
        text += _("; {by} warmer in sunshine than at night, so look at its shield").format(
            by=difference(scored.variable, sunny, 1)
        )
    return Judgement(words_of(scored.variable), text, bool(abs(scored.bias) > usual or warms))


def _reads(recent: Recent) -> str:
    """By how much it is off, and how surely."""
    scored = recent.scored
    high, low = (WARM, COLD) if scored.variable == "air_temperature" else (HIGH, LOW)
    text = _(high if scored.bias > 0 else low).format(by=_figure(recent, scored.bias))
    if np.isfinite(scored.bias_error):
        text += _(", give or take {error}").format(error=_figure(recent, SURE * scored.bias_error))
    return text


def _scatter(recent: Recent) -> str:
    scored = recent.scored
    if np.isfinite(scored.random_error):
        if scored.method == "collocation":
            text = _("; its own scatter is about {size} ({low} to {high}, told with two others at a time)")
        else:
            text = _("; its own scatter is about {size} ({low} to {high}, told by its departures)")
        size, low, high = (_figure(recent, each) for each in (scored.random_error, scored.low, scored.high))
        return text.format(size=size, low=low, high=high)
    if np.isfinite(scored.high):
        return _("; its own scatter is no more than {high}").format(high=_figure(recent, scored.high))
    return ""


def _figure(recent: Recent, value: float) -> str:
    name = recent.scored.variable
    return difference(name, value, max(VARIABLES[name].decimals, 1))


def _case(case: Case, moment: Moment) -> OpenCase:
    return OpenCase(
        pk=case.pk,
        since=datetime.fromtimestamp(case.begins_at, moment.zone),
        words=_(case.words),
        sentence=sentence(case),
        verdict="wrong" if case.verdict == 3 else "doubtful",
        state=_state(case, moment),
    )


def _state(case: Case, moment: Moment) -> str:
    if case.readings == 1:
        return _("was a single reading")
    return _("goes on") if case.ends_at > moment.at - GOES_ON else _("is over")


def _availability(regular: Regularity | None, moment: Moment) -> str:
    if regular is None:
        return _("Nothing has come from it in the last {days} days.").format(days=DAYS)
    share = int(100 * regular.share)
    text = (
        _("All of its reports arrived")
        if share >= 100
        else _("{share} % of its reports arrived").format(share=share)
    )
    if regular.late >= SELDOM:
        text += _(", {share} % of them late").format(share=int(100 * regular.late))
    if regular.longest_silence > 3600:
        began = datetime.fromtimestamp(regular.silent_from, moment.zone)
        text += _("; the longest silence was {long}, from {time} on {weekday}").format(
            long=how_long(regular.longest_silence), time=hour(began), weekday=by_format(began, "l")
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
        yield _("Bring it back on the air: is it powered, and within reach of the Wi-Fi?")
        return
    if regular.silent_from + regular.longest_silence >= moment.at and regular.longest_silence > 7200:
        yield _("It has been silent for {long}: look at its power and its Wi-Fi.").format(
            long=how_long(regular.longest_silence)
        )
    for case in sorted(cases, key=lambda case: (case.ends_at < moment.at - GOES_ON, -case.weight)):
        yield f"{capfirst(_(case.words))}: {advice(case.check_name)}"
    if unknown:
        yield _("Say what the channel ‘{name}’ measures: it is kept, but nobody knows what it means.").format(
            name=unknown[0]
        )
    if regular.share < OFTEN:
        yield _(
            "Too many reports are lost: a board that keeps what it could not send, and sends it later, loses none."
        )
    if not notes:
        yield _("Describe what stands around the instruments, so that the map knows how far to trust them.")
    if worst := _worst_sited(notes):
        yield _(
            "Nothing is wrong. What would gain most is a freer place for the {variable} sensor (siting class {number}"
            " of 5)."
        ).format(variable=words_of(worst.variable), number=worst.siting_class)
    yield _("Nothing: it does well.")


def _worst_sited(notes: list[SitingNote]) -> SitingNote | None:
    known = [note for note in notes if note.siting_class]

    def harm(note: SitingNote) -> float:
        variable = VARIABLES[note.variable]
        return float(np.divide(added_uncertainty(variable, note.siting_class), variable.accuracy))

    worst = max(known, key=harm, default=None)
    return worst if worst is not None and harm(worst) > 1 else None
