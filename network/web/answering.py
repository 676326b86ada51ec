"""Where a keeper answers what the steward asked about a case."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django import forms
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from network.models import Answer, Case, Decision
from network.pipeline.cases.setting import NotPossible
from network.pipeline.ledger import blocks
from network.pipeline.neighbours.departures import departures_of
from network.pipeline.verbs.answering import answer as write_down
from network.science.variables import VARIABLES
from network.web.case_chart import chart_of
from network.web.desk.trail import Heard, heard
from network.web.moment import Moment
from network.web.reasons import sentence
from network.web.station import Chart
from stations.forms.fields import Choice, Words, spread_errors
from stations.models import Station, Village

Said = Answer.Said


class AnswerForm(forms.Form):
    """One answer: by choosing, in a sentence, or both."""

    said = Choice(
        label="What do you know about it?",
        choices=[
            (Said.NOTHING, "Nothing was moved or changed."),
            (Said.CHANGED, "I moved or changed something, on the day below."),
            (Said.UNKNOWN, "I do not know."),
            (Said.OTHER, "None of these: I say it in a sentence."),
        ],
    )
    changed_on = forms.DateField(
        required=False,
        label="On which day",
        help_text="Only if something was moved or changed.",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Write the day as 2026-11-25."},
    )
    words = Words(
        required=False,
        max_length=300,
        label="In a sentence",
        help_text="What was done, what you see there, or what you suppose.",
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"max_length": "Say it in 300 characters, please."},
    )

    def clean_changed_on(self) -> date | None:
        day: date | None = self.cleaned_data["changed_on"]
        if day and day > timezone.localdate():
            raise ValidationError("That day is still to come.")
        return day

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if said.get("said") != Said.CHANGED:
            said["changed_on"] = None
        return said


@dataclass(frozen=True)
class AnswerPage:
    """Everything network/answer.html may show."""

    village: Village
    station: Station
    question: Decision
    about: str  # what is asked about, such as 'air temperature'
    since: datetime
    until: datetime
    sentence: str  # what the checks saw; '' where nothing is in doubt any more
    chart: Chart | None
    moment: Moment
    day: date
    span: str
    given: list[Heard]  # answers so far
    moved: bool  # somebody said that something was moved or changed: then the metadata wants a word, too
    form: AnswerForm


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@login_required
def answer(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the question with its case in short, and take an answer. For whoever keeps the station; nobody else."""
    asked = Decision.objects.filter(kind=Decision.Kind.ASK, station__in=Station.objects.kept_by(request.user))
    question = get_object_or_404(asked.select_related("station__household__village"), pk=pk)
    village = question.station.household.village
    with timezone.override(village.clock):
        form = AnswerForm(request.POST if request.method == "POST" else None)
        if request.method == "POST" and form.is_valid() and _write(question, form, request):
            messages.success(request, f"Thank you. The steward of {village} has your answer.")
            return redirect("answer", question.pk)
        page = _page(question, village, form)
        return render(request, "network/answer.html", {"page": page}, status=400 if form.errors else 200)


def _write(question: Decision, form: AnswerForm, request: HttpRequest) -> bool:
    try:
        write_down(question, request.user, **form.cleaned_data)
    except NotPossible as problem:
        form.add_error(None, str(problem))
    except ValidationError as problem:
        spread_errors(form, problem)
    return not form.errors


def _page(question: Decision, village: Village, form: AnswerForm) -> AnswerPage:
    station, variable = question.station, VARIABLES.get(question.variable)
    case = Case.objects.filter(pk=question.parameters.get("case"), station=station).first()
    if case is not None:
        case.station = station
    zone = village.clock
    moment = Moment(case.ends_at if case else question.ends_at, zone, now=False)
    given = list(question.answers.select_related("made_by", "question"))
    return AnswerPage(
        village=village,
        station=station,
        question=question,
        about=variable.words if variable else "the station itself",
        since=datetime.fromtimestamp(question.begins_at, zone),
        until=datetime.fromtimestamp(question.ends_at, zone),
        sentence=sentence(case) if case else "",
        chart=chart_of(case, departures_of(case), station, moment) if case else None,
        moment=moment,
        day=moment.day,
        span="day" if case and case.ends_at - case.begins_at < blocks.DAY else "week",
        given=[heard(one, village) for one in given],
        moved=any(one.said == Said.CHANGED for one in given),
        form=form,
    )
