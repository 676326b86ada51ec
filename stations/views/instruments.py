"""What a station measures: its instruments with their channels, and the calibrations of channels."""

from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from network.science.calibration import KINDS
from network.science.units import sign
from network.science.variables import MEASURED, VARIABLES, Variable
from stations import cautions, figures, history
from stations.calibrating import RAW, kinds_for, not_understood
from stations.climate import complaint
from stations.forms import InstrumentForm, RemoveForm
from stations.forms.fields import spread_errors
from stations.life import counted
from stations.models import Channel, Station
from stations.registration import Course, channels, placement
from stations.siting_classes import classification
from stations.typical import Typical, typical
from stations.views.describing import form_page
from stations.views.keeper import StepPage, for_keeper


@dataclass(frozen=True)
class Fitted:
    """One channel of the list: what it measures, what it sends, what is worth saying about it."""

    channel: Channel
    words: str
    sends: str
    figures: str
    calibration: str
    raw: bool  # without a calibration nothing it says can be understood
    unfit: str  # why its range cannot serve the climate here
    may_calibrate: bool


@dataclass(frozen=True)
class InstrumentsPage(StepPage):
    """Everything stations/instruments.html may show."""

    fitted: tuple[Fitted, ...] = ()
    variables: tuple[Variable, ...] = ()
    sent_name: str = ""  # a name its device sends that nobody has described


@dataclass(frozen=True)
class Offered:
    """A common sort of instrument, and why it cannot serve here, where it cannot."""

    kind: Typical
    unfit: str


@dataclass(frozen=True)
class InstrumentPage(StepPage):
    """Everything stations/instrument.html may show."""

    variable: Variable | None = None
    channel: Channel | None = None
    typical: tuple[Offered, ...] = ()
    unfit: str = ""  # why the range written so far cannot serve the climate here
    stands: str = ""


@require_safe
@for_keeper
def instruments(request: HttpRequest, station: Station) -> HttpResponse:
    """What it measures so far, and what it could measure besides."""
    page = InstrumentsPage(
        station,
        Course.of(station, "instruments"),
        fitted=tuple(_fitted(station, channel) for channel in channels(station)),
        variables=tuple(VARIABLES[name] for name in MEASURED),
        sent_name=request.GET.get("name", "")[:200],
    )
    return render(request, "stations/instruments.html", {"page": page})


@form_page
@for_keeper
def add(request: HttpRequest, station: Station, variable: str) -> HttpResponse:
    """Describe an instrument that is there."""
    if variable not in MEASURED:
        raise Http404
    return _describe(request, station, VARIABLES[variable], None)


@form_page
@for_keeper
def edit(request: HttpRequest, station: Station, channel: int) -> HttpResponse:
    """Describe an instrument anew."""
    found = _channel(station, channel)
    return _describe(request, station, VARIABLES[found.instrument.variable], found)


@form_page
@for_keeper
def remove(request: HttpRequest, station: Station, channel: int) -> HttpResponse:
    """Take an instrument away."""
    found = _channel(station, channel)
    form = RemoveForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            history.remove(found, form.cleaned_data["since"])
            return redirect("register-instruments", station.pk)
        except ValidationError as problem:
            spread_errors(form, problem)
    variable = VARIABLES[found.instrument.variable]
    page = InstrumentPage(station, Course.of(station, "instruments"), form, variable=variable, channel=found)
    return render(request, "stations/remove.html", {"page": page})


def _describe(
    request: HttpRequest, station: Station, variable: Variable, channel: Channel | None
) -> HttpResponse:
    form = InstrumentForm(
        request.POST or None,
        station=station,
        variable=variable,
        channel=channel,
        dated=counted(station),
        initial=_suggested(request, variable),
    )
    if "preview" in request.POST:
        unfit = _unfit(station, variable, *form.range_so_far())
        return render(request, "stations/_unfit.html", {"unfit": unfit})
    if request.method == "POST" and form.is_valid():
        kept = _keep(station, form)
        if kept:
            raw = not_understood(kept)
            return (
                redirect("register-calibration", station.pk, kept.pk)
                if raw
                else redirect("register-instruments", station.pk)
            )
    page = InstrumentPage(
        station,
        Course.of(station, "instruments"),
        form,
        cautions.for_variable(variable.name),
        variable,
        channel,
        tuple(
            Offered(kind, _unfit(station, variable, *_range(variable, kind)))
            for kind in typical(variable.name)
        ),
        _unfit(station, variable, *form.range_so_far()),
        classification(variable.name).height,
    )
    return render(request, "stations/instrument.html", {"page": page})


def _unfit(station: Station, variable: Variable, low: float | None, high: float | None) -> str:
    return complaint(variable, low, high, station.village, placement(station))


def _range(variable: Variable, kind: Typical) -> tuple[float | None, float | None]:
    """A common sort's range in the canonical unit."""
    ends = (kind.range_low, kind.range_high)
    low, high = (None if end is None else figures.kept(variable, end) for end in ends)
    return low, high


def _keep(station: Station, form: InstrumentForm) -> Channel | None:
    since = form.cleaned_data.get("since") or history.beginning(station)
    try:
        if form.channel is None:
            return history.fit(station, form.instrument_fields(), form.channel_fields(), since)
        return history.refit(form.channel, form.instrument_fields(), form.channel_fields(), since)
    except ValidationError as problem:
        spread_errors(form, problem)
        return None


def _suggested(request: HttpRequest, variable: Variable) -> dict[str, Any]:
    """A name the device sends, and a common instrument's figures, where the address asks for them."""
    suggested: dict[str, Any] = {"name": request.GET["name"][:200]} if request.GET.get("name") else {}
    number = request.GET.get("like", "")
    kinds = typical(variable.name)
    if number.isdecimal() and len(number) < 4 and int(number) < len(kinds):
        figures_of = {key: value for key, value in vars(kinds[int(number)]).items() if key != "words"}
        suggested |= {key: value for key, value in figures_of.items() if value not in (None, "")}
    return suggested


def _fitted(station: Station, channel: Channel) -> Fitted:
    instrument, variable = channel.instrument, VARIABLES[channel.instrument.variable]
    made = max(channel.calibrations.all(), key=lambda each: each.begins_at, default=None)
    return Fitted(
        channel,
        variable.words,
        channel.unit if channel.unit in RAW else _sign(channel.unit),
        _figures(channel, variable),
        figures.in_words(variable, made.kind, made.parameters) if made and made.kind in KINDS else "",
        not_understood(channel),
        _unfit(station, variable, instrument.range_low, instrument.range_high),
        bool(kinds_for(channel)),
    )


def _figures(channel: Channel, variable: Variable) -> str:
    instrument, unit = channel.instrument, sign(variable.shown_unit)
    said = [instrument.principle] if instrument.principle else []
    ends = (instrument.range_low, instrument.range_high)
    low, high = ("" if end is None else _plain(figures.shown(variable, end)) for end in ends)
    if low and high:
        said.append(f"{low} to {high} {unit}")
    elif low or high:
        said.append(f"from {low} {unit}" if low else f"up to {high} {unit}")
    if instrument.accuracy:
        said.append(f"±{figures.shown_difference(variable, instrument.accuracy):g} {unit}")
    if instrument.response:
        said.append(f"follows within {instrument.response:g} s")
    if instrument.height is not None:
        said.append(f"{instrument.height:g} m above the ground")
    if instrument.shield:
        said.append(instrument.shield)
    return ", ".join(said)


def _plain(figure: float) -> str:
    return f"{figure:g}".replace("-", "\N{MINUS SIGN}")


def _sign(unit: str) -> str:
    try:
        return sign(unit)
    except ValueError:
        return unit


def _channel(station: Station, pk: int) -> Channel:
    return get_object_or_404(station.channels.current().select_related("instrument", "station"), pk=pk)
