"""The pages of the bench: the helpers of a channel, and one at work."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from network.science.calibration import WrongCalibration
from network.science.variables import Variable
from network.web.bench.helper import Bench, Found, Helper, NotFound
from network.web.bench.helpers import suiting
from network.web.bench.preview import Preview, preview
from stations import figures, history
from stations.calibrating import refuse_unless_fitting
from stations.forms.fields import spread_errors
from stations.models import Channel, Station
from stations.registration import Course, placement
from stations.views.describing import form_page
from stations.views.keeper import StepPage, for_keeper


@dataclass(frozen=True)
class BenchPage(StepPage):
    """Everything network/bench.html and network/bench_helper.html may show."""

    channel: Channel | None = None
    variable: Variable | None = None
    helpers: tuple[Helper, ...] = ()
    helper: Helper | None = None
    drawing: str = ""
    present: str = ""
    found: Found | None = None
    figures: str = ""
    problem: str = ""
    preview: Preview | None = None


@require_safe
@for_keeper
def bench(request: HttpRequest, station: Station, channel: int) -> HttpResponse:
    """The helpers that suit a channel."""
    on_it = _bench(station, channel)
    helpers = suiting(on_it.channel)
    page = BenchPage(
        station,
        Course.of(station, "instruments"),
        channel=on_it.channel,
        variable=on_it.variable,
        helpers=helpers,
        present=_present(on_it),
        preview=preview(on_it, None),
    )
    return render(request, "network/bench.html", {"page": page})


@form_page
@for_keeper
def helper(request: HttpRequest, station: Station, channel: int, helper: str) -> HttpResponse:
    """One helper: its question, what it finds, the last day recomputed, and the button that keeps it."""
    on_it = _bench(station, channel)
    chosen = next((each for each in suiting(on_it.channel) if each.name == helper), None)
    if chosen is None:
        raise Http404
    posted = request.POST if request.method == "POST" else None
    form = chosen.form(posted, bench=on_it)
    found, problem = None, ""
    if posted is None and (begun := form.as_begun()).is_valid():  # what is known already may suffice
        found, problem = _worked(chosen, on_it, begun.cleaned_data)
    elif posted is not None and form.is_valid():
        found, problem = _worked(chosen, on_it, form.cleaned_data)
    if posted is not None and found and "keep" in posted and _kept(on_it, found, request.user, form):
        messages.success(request, f"Kept from now on: {found.reason}.")
        return redirect("register-instruments", station.pk)
    page = BenchPage(
        station,
        Course.of(station, "instruments"),
        form,
        chosen.cautions,
        channel=on_it.channel,
        variable=on_it.variable,
        helper=chosen,
        drawing=f"network/bench/{chosen.name}.html",
        present=_present(on_it),
        found=found,
        figures=figures.in_words(on_it.variable, found.kind, found.parameters) if found else "",
        problem=problem,
        preview=preview(on_it, found),
    )
    if posted is not None and "preview" in posted:
        if not form.is_valid():
            return HttpResponse(status=204)  # half typed: leave what stands there
        return render(request, "network/_bench_found.html", {"page": page})
    return render(request, "network/bench_helper.html", {"page": page})


def _bench(station: Station, channel: int) -> Bench:
    found = get_object_or_404(station.channels.current().select_related("instrument", "station"), pk=channel)
    return Bench(station, found, placement(station))


def _worked(helper: Helper, bench: Bench, said: Mapping[str, Any]) -> tuple[Found | None, str]:
    try:
        found = helper.work(bench, said)
        refuse_unless_fitting(bench.channel, found.kind, found.parameters)
    except (NotFound, WrongCalibration) as problem:
        return None, str(problem)
    return found, ""


def _kept(bench: Bench, found: Found, by: object, form: Any) -> bool:
    try:
        history.calibrate(bench.channel, timezone.now(), found.kind, found.parameters, found.reason[:200], by)
    except ValidationError as problem:
        spread_errors(form, problem)
        return False
    return True


def _present(bench: Bench) -> str:
    present = bench.present
    return figures.in_words(bench.variable, present.kind, present.parameters) if present else ""
