"""What measures, and how the device names what it says."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from network.science.units import sign
from network.science.variables import Variable
from stations import figures
from stations.calibrating import sent_units
from stations.forms.fields import Figure, Moment, Words, decimal_places
from stations.models import Channel, Station

RESERVED = ("time", "age", "key", "observations")
"""Names that mean something else in a report."""

_VALUES = ("range_low", "range_high")
_DIFFERENCES = ("resolution", "accuracy")
_OTHERS = ("principle", "response", "height", "shield")
_UNIT_WORDS = {
    "1": "a fraction, such as 0.71 for 71 %",
    "count": "a raw count, to be calibrated next",
    "1/s": "pulses a second, to be calibrated next",
}
_TIPS = "a count of tips; what one is worth comes next"


class InstrumentForm(forms.Form):
    """One instrument and its channel. Figures are in the variable's shown unit."""

    name = Words(
        max_length=200,
        label="Which name does the device send it by?",
        help_text="Exactly as in its program, such as temp. Small and capital letters differ.",
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}
        ),
    )
    unit = forms.ChoiceField(label="In which unit does it send it?")
    principle = Words(
        max_length=80,
        required=False,
        label="How does it measure?",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    range_low = Figure(required=False)
    range_high = Figure(required=False)
    resolution = Figure(required=False, signed=False)
    accuracy = Figure(required=False, signed=False)
    response = Figure(
        required=False,
        signed=False,
        label="How long until it follows? [s]",
        help_text="Until it has gone two thirds of the way to a sudden change, in its shield.",
    )
    height = Figure(
        required=False,
        min_value=-5,
        max_value=200,
        label="Height above the ground [m]",
        error_messages={
            "min_value": "Write the height above the ground in metres.",
            "max_value": "Write the height above the ground in metres, not the elevation.",
        },
    )
    shield = Words(
        max_length=80,
        required=False,
        label="What keeps sun and rain off it?",
        help_text="Such as a louvred screen, a fan-drawn shield, or none.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(
        self,
        *args: Any,
        station: Station,
        variable: Variable,
        channel: Channel | None,
        dated: bool,
        **kwargs: Any,
    ) -> None:
        self.station, self.variable, self.channel = station, variable, channel
        kwargs["initial"] = self._present() | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)
        self.fields["unit"].choices = _unit_choices(variable, channel)
        self._label_figures(sign(variable.shown_unit))
        if variable.name not in ("air_temperature", "relative_humidity"):
            del self.fields["shield"]
        if dated:
            self.fields["since"] = Moment(
                help_text="A changed instrument begins a new chapter: readings until then keep the old one."
            )

    def _label_figures(self, unit: str) -> None:
        labels = {
            "range_low": (f"Lowest value it can give [{unit}]", "Where its range ends, from its data sheet."),
            "range_high": (f"Highest value it can give [{unit}]", ""),
            "resolution": (f"Smallest step it shows [{unit}]", ""),
            "accuracy": (
                f"How far off it usually is [{unit}]",
                "Its standard error. Where a data sheet says ± a limit, half of that.",
            ),
        }
        for name, (label, hint) in labels.items():
            self.fields[name].label, self.fields[name].help_text = label, hint

    def _present(self) -> dict[str, Any]:
        if self.channel is None:
            return {"unit": self.variable.shown_unit}
        instrument, variable = self.channel.instrument, self.variable
        present = {name: getattr(instrument, name) for name in _OTHERS}
        for names, to_shown in ((_VALUES, figures.shown), (_DIFFERENCES, figures.shown_difference)):
            for name in names:
                kept = getattr(instrument, name)
                shown = None if kept is None else to_shown(variable, kept)
                present[name] = decimal_places(variable, shown)
        return present | {"name": self.channel.name, "unit": self.channel.unit}

    def clean_name(self) -> str:
        name = self.cleaned_data["name"].strip()
        if name in RESERVED:
            raise ValidationError(
                f"'{name}' means something else in a report: let the device use another name."
            )
        taken = self.station.channels.current().filter(name=name)
        if self.channel:
            taken = taken.exclude(pk=self.channel.pk)
        if taken.exists():
            raise ValidationError("The station has a channel of this name already: each needs its own.")
        return name

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        low, high = said.get("range_low"), said.get("range_high")
        if low is not None and high is not None and low >= high:
            self.add_error("range_high", "The range begins above its end. Are the two swapped?")
        for name in (*_DIFFERENCES, "response"):
            if said.get(name) is not None and said[name] <= 0:
                self.add_error(name, "This must be more than zero; leave it empty when you do not know it.")
        return said

    def instrument_fields(self) -> dict[str, Any]:
        """The instrument's fields, figures in the canonical unit."""
        said, variable = self.cleaned_data, self.variable
        fields: dict[str, Any] = {name: said[name] for name in _OTHERS if name in said}
        for names, to_kept in ((_VALUES, figures.kept), (_DIFFERENCES, figures.kept_difference)):
            fields |= {n: None if said[n] is None else to_kept(variable, said[n]) for n in names}
        return fields | ({} if self.channel else {"variable": variable.name})

    def channel_fields(self) -> dict[str, str]:
        """The channel's fields."""
        return {"name": self.cleaned_data["name"], "unit": self.cleaned_data["unit"]}

    def range_so_far(self) -> tuple[float | None, float | None]:
        """The range as typed or offered so far [canonical unit]; None where it is open or not a number."""
        ends = []
        for name in _VALUES:
            try:
                shown = self.fields[name].to_python(self[name].value())
            except ValidationError:
                shown = None
            ends.append(None if shown is None else figures.kept(self.variable, shown))
        return ends[0], ends[1]


class RemoveForm(forms.Form):
    """Since when an instrument is no longer there."""

    since = Moment(label="Since when is it gone?")


def _unit_choices(variable: Variable, channel: Channel | None) -> list[tuple[str, str]]:
    units = list(sent_units(variable))
    if channel and channel.unit not in units:
        units.append(channel.unit)
    words = _UNIT_WORDS | ({"count": _TIPS} if variable.name == "rain_amount" else {})
    return [(unit, words.get(unit) or _sign(unit)) for unit in units]


def _sign(unit: str) -> str:
    try:
        return sign(unit)
    except ValueError:  # a unit noted elsewhere that nobody knows
        return unit
