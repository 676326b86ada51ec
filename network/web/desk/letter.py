"""A case as a letter, for a keeper who has no account: printed, read out, or sent some other way."""

import time
from dataclasses import dataclass
from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from network.models import Case, Decision
from network.pipeline.cases.propose import propose
from network.pipeline.neighbours.departures import departures_of
from network.pipeline.telling.notices import of_case
from network.web.desk.access import steward_only
from stations.models import Village


@dataclass(frozen=True)
class LetterPage:
    """Everything network/desk_letter.html may show."""

    village: Village
    case: Case
    household: str
    kept: bool  # somebody of it has an account, and reads the notice there as well
    on: datetime
    words: str  # as in the notice
    questions: list[str]  # what the steward asked, or what might be asked


@require_safe
@steward_only
def letter(request: HttpRequest, village: Village, case: int) -> HttpResponse:
    """What the keeper of a case's station would be told, on one sheet."""
    found = get_object_or_404(Case.objects.of(village).select_related("station__household__village"), pk=case)
    asked = Decision.objects.standing().filter(
        station=found.station, variable=found.variable, kind=Decision.Kind.ASK, ends_at__gte=found.begins_at
    )
    questions = list(asked.order_by("made_at").values_list("reason", flat=True)) or [
        propose(found, departures_of(found)).reason
    ]
    page = LetterPage(
        village=village,
        case=found,
        household=found.station.household.name,
        kept=found.station.household.memberships.filter(person__is_active=True).exists(),
        on=datetime.fromtimestamp(time.time(), village.clock),
        words=of_case(found),
        questions=[one for one in questions if one],
    )
    return render(request, "network/desk_letter.html", {"page": page})
