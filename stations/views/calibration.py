"""The arithmetic of a channel: first which kind, then its figures."""

from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from network.science.calibration import KINDS, Kind
from network.science.variables import VARIABLES, Variable
from stations import figures, history
from stations.calibrating import kinds_for, must_be_calibrated, of
from stations.forms import CalibrationForm
from stations.forms.fields import spread_errors
from stations.life import counted
from stations.models import Calibration, Channel, Station
from stations.registration import Course
from stations.views.describing import form_page
from stations.views.keeper import StepPage, for_keeper


@dataclass(frozen=True)
class Made:
    """A calibration of the log."""

    calibration: Calibration
    words: str


@dataclass(frozen=True)
class CalibrationPage(StepPage):
    """Everything stations/calibration.html may show."""

    channel: Channel | None = None
    variable: Variable | None = None
    kinds: tuple[Kind, ...] = ()
    kind: Kind | None = None
    made: tuple[Made, ...] = ()
    needed: bool = False


@form_page
@for_keeper
def calibration(request: HttpRequest, station: Station, channel: int) -> HttpResponse:
    """How what the channel says becomes its variable."""
    found = get_object_or_404(station.channels.current().select_related("instrument", "station"), pk=channel)
    variable = VARIABLES[found.instrument.variable]
    kinds = kinds_for(found)
    kind = _chosen(request, found, kinds)
    form = _form(request, found, kind) if kind else None
    if request.method == "POST" and form and form.is_valid() and _keep(found, form, request.user):
        return redirect("register-instruments", station.pk)
    page = CalibrationPage(
        station,
        Course.of(station, "instruments"),
        form,
        channel=found,
        variable=variable,
        kinds=tuple(kinds),
        kind=kind,
        made=tuple(
            Made(each, figures.in_words(variable, each.kind, each.parameters))
            for each in found.calibrations.all()
        ),
        needed=must_be_calibrated(found),
    )
    return render(request, "stations/calibration.html", {"page": page})


def _chosen(request: HttpRequest, channel: Channel, kinds: list[Kind]) -> Kind | None:
    """The kind asked for; else the one that holds now; else the only one there is."""
    by_name = {kind.name: kind for kind in kinds}
    present = of(channel) or _before(channel)
    asked = request.GET.get("kind") or (present.kind if present else "")
    return by_name.get(asked) or (kinds[0] if len(kinds) == 1 else None)


def _form(request: HttpRequest, channel: Channel, kind: Kind) -> CalibrationForm:
    present = of(channel) or _before(channel)
    initial = {}
    if present and present.kind == kind.name:
        variable = VARIABLES[channel.instrument.variable]
        initial = figures.shown_parameters(
            variable, kind.name, KINDS[kind.name].completed(present.parameters)
        )
    dated = counted(channel.station) and channel.calibrations.exists()
    return CalibrationForm(request.POST or None, channel=channel, kind=kind, dated=dated, initial=initial)


def _keep(channel: Channel, form: CalibrationForm, by: object) -> bool:
    said = form.cleaned_data
    since = said.get("since") or timezone.now()
    try:
        history.calibrate(channel, since, form.kind.name, form.parameters, said["reason"], by)
    except ValidationError as problem:
        spread_errors(form, problem)
        return False
    return True


def _before(channel: Channel) -> Calibration | None:
    """What the sensor before this one had: figures to begin with."""
    earlier = Calibration.objects.filter(channel__station=channel.station, channel__name=channel.name)
    return earlier.exclude(channel=channel).order_by("-begins_at").first()
