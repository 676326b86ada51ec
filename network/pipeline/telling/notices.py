"""Messages to keepers: what happened, why the hub doubts it, what it did, what they can do."""

import time
from datetime import datetime
from typing import Any

from django.conf import settings
from django.db.models import Q
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from network.models import Case, Decision, Notice
from network.pipeline.cases.faults import how_sure, spoke_of
from network.pipeline.cases.propose import likeliest_unit
from network.pipeline.ledger import blocks
from network.pipeline.metadata.tongue import from_epoch
from network.pipeline.neighbours.departures import departures_of
from network.pipeline.telling.post import handed
from network.pipeline.telling.power import power
from network.pipeline.telling.power_words import in_words
from network.quality.checks import check_named
from network.quality.checks.supply import CHECK as SUPPLY
from network.quality.checks.unit_hypothesis import CHECK as UNIT_HYPOTHESIS
from network.quality.explanation import sentence, shown_difference, typeset
from network.quality.verdict import VERDICT_WORDS
from network.science.units import UnknownUnit, find, sign, units_for
from network.science.variables import VARIABLES
from stations.cautions import BATTERIES
from stations.models import Channel, Household, Station

RECENT = 3 * blocks.DAY
"""[s] Cases older than this are for the desk; a keeper is told of what goes on."""


AGAIN = 7 * blocks.DAY
"""[s] So long a fault that goes on is not told of again: who is told daily learns to look away."""

BATTERY = "battery"
"""The one cause of a supply that sinks and of the readings it spoils: told of the first, nobody needs the second."""


def tell(station: Station, cause: str, words: str, question: Decision | None = None) -> None:
    """Write a notice, unless the same cause was told today."""
    today = timezone.now().astimezone(station.household.village.clock).date()
    Notice.objects.get_or_create(
        station=station, cause=cause[:80], day=today, defaults={"words": words, "question": question}
    )


def write() -> None:
    """Tell the keepers of open cases that still go on: each fault once a day at most, and the same one weekly."""
    now = time.time()
    going_on = Case.objects.open().filter(ends_at__gte=now - RECENT, at_once=0)
    at_work = going_on.filter(station__state__in=(Station.State.LIVE, Station.State.AWAITING))
    for case in at_work.select_related("station__household__village"):
        cause = BATTERY if case.check_name == SUPPLY.name else f"case {case.variable or case.check_name}"
        lately = from_epoch(max(now - AGAIN, case.begins_at))
        if not Notice.objects.filter(station=case.station, cause=cause, made_at__gte=lately).exists():
            tell(case.station, cause, of_case(case))


def write_of_batteries() -> None:
    """Tell the keepers whose battery will not last, while there is still time."""
    now = int(time.time())
    powered = Station.objects.filter(instruments__variable="battery_voltage").distinct()
    at_work = powered.filter(state__in=(Station.State.LIVE, Station.State.AWAITING))
    for station in at_work.select_related("household__village"):
        seen = power(station, now)
        if seen is not None and seen.ends_soon and now - seen.seen.dawn[-1] < 2 * blocks.DAY:
            words = " ".join(in_words(seen))
            tell(station, BATTERY, _say(station, "battery", words=words, caution=BATTERIES))


def send() -> None:
    """E-mail what has not gone out yet; a mail server that is away is asked again next time."""
    waiting = Notice.objects.filter(sent_at=None).select_related("station__household")
    for notice in waiting.order_by("made_at")[:100]:
        members = notice.station.household.memberships.exclude(
            Q(person__email="") | Q(person__is_active=False)
        )
        to = list(members.values_list("person__email", flat=True))
        subject = f"{notice.station}: a notice from your village's weather stations"
        if not handed(to, subject, _letter(notice)):
            return
        notice.sent_at = timezone.now()
        notice.save(update_fields=["sent_at"])


def _letter(notice: Notice) -> str:
    """A notice as an e-mail: what can be answered says where."""
    if notice.question_id is None:
        return notice.words
    where = settings.SITE_URL + reverse("answer", args=[notice.question_id])
    return f"{notice.words}\n\nAnswer here, by choosing or in a sentence:\n\n{where}"


def of_case(case: Case) -> str:
    """A case in a keeper's words, in the unit their device speaks."""
    check, unit = check_named(case.check_name), keepers_unit(case.station, case.seen_in)
    likely = likeliest_unit(case, departures_of(case))
    figures = (_known(case.observed), _known(case.expected), _known(case.tolerance))
    seen = sentence(check, case.seen_in, *figures, hint=case.hint, unit=unit)
    return _say(
        case.station,
        "case",
        sentence=typeset(seen).replace("\N{NO-BREAK SPACE}", " "),  # an e-mail is plain text
        sure=how_sure(case.verdict, spoke_of(case)),
        verdict=VERDICT_WORDS[case.verdict],
        advice=check.advice if likely is None else UNIT_HYPOTHESIS.advice,
        likely=likely and case.check_name != UNIT_HYPOTHESIS.name and likely.words(),
        readings=case.readings,
        single=case.readings == 1,
        over=case.over(time.time()),
        begins_at=from_epoch(case.begins_at),
        ends_at=from_epoch(case.ends_at),
    )


def of_decision(decision: Decision) -> str:
    """A decision in a keeper's words."""
    given = decision.parameters
    unit = given.get("unit")
    words = {
        "unit": sign(unit) if unit else "",
        "before": sign(given["before"]) if unit else "",
        "offset": _offset(decision),
        "clock": _clock(given.get("fast_by", 0)),
        "since": _since(given.get("since")),
        "ends_at": from_epoch(decision.ends_at) if decision.kind == Decision.Kind.MAINTENANCE else None,
    }
    return _say(decision.station, decision.kind, **_about(decision), **words)


def of_undoing(decision: Decision) -> str:
    """That a decision was taken back, in a keeper's words."""
    return _say(decision.station, "undone", **_about(decision), words=decision.get_kind_display())


def of_hand_over(station: Station, before: Household, by: Any) -> str:
    """That a household has a station now which was another's, in a keeper's words."""
    return _say(station, "handed_over", before=before.name, now=station.household.name, by=by.get_username())


def keepers_unit(station: Station, variable: str) -> str:
    """The unit in which a station's device speaks of a variable, where people read it; else the usual one."""
    entry = VARIABLES[variable]
    channels = Channel.objects.filter(station=station, instrument__variable=variable)
    unit = channels.order_by("-begins_at").values_list("unit", flat=True).first()
    try:
        symbol = find(unit or entry.shown_unit).symbol
    except UnknownUnit:
        return entry.shown_unit
    return symbol if symbol in units_for(entry) else entry.shown_unit


def _about(decision: Decision) -> dict[str, Any]:
    variable, station = VARIABLES.get(decision.variable), decision.station.name
    return {
        "variable": variable.words if variable else "",
        "about": f"the {variable.words} of {station}" if variable else station,
        "reason": decision.reason,
        "begins_at": from_epoch(decision.begins_at),
    }


def _clock(fast_by: int) -> str:
    minutes = abs(fast_by) / 60
    return (
        f"{minutes:.0f} minute{'' if round(minutes) == 1 else 's'} {'ahead of' if fast_by > 0 else 'behind'}"
    )


def _offset(decision: Decision) -> str:
    offset = decision.parameters.get("offset")
    if offset is None:
        return ""
    unit = keepers_unit(decision.station, decision.variable)
    written = shown_difference(decision.variable, abs(offset), unit)
    return f"{written} is {'added to' if offset > 0 else 'taken off'}"


def _since(stored: int | str | None) -> datetime | None:
    """From when a decision about metadata holds, as epoch seconds, or about a station's life, as ISO 8601."""
    return datetime.fromisoformat(stored) if isinstance(stored, str) else stored and from_epoch(stored)


def _say(station: Station, name: str, **words: Any) -> str:
    """One of templates/notices/, in the village's time."""
    with timezone.override(station.household.village.clock):
        return render_to_string(f"notices/{name}.txt", {"station": station.name, **words}).strip()


def _known(figure: float | None) -> float:
    return float("nan") if figure is None else figure
