"""The arithmetic from what a channel says to its variable: a form made of the parameters its kind lists."""

import math
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from network.science.calibration import Kind, Parameter, WrongCalibration
from network.science.variables import VARIABLES, Variable
from stations import figures
from stations.calibrating import refuse_unless_fitting
from stations.forms.fields import Figure, Moment, Words
from stations.models import Channel


class NumberList(forms.CharField):
    """Numbers, separated by blanks or semicolons, or one on each line."""

    widget = forms.Textarea(attrs={"rows": 3})
    default_error_messages = {"required": "Write at least two numbers here."}

    def to_python(self, value: Any) -> list[float]:
        return [_number(each) for each in super().to_python(value).replace(";", " ").split()]

    def prepare_value(self, value: Any) -> Any:
        return value if not isinstance(value, list) else "\n".join(f"{each:g}" for each in value)


class PairList(forms.CharField):
    """A pair of numbers on each line."""

    widget = forms.Textarea(attrs={"rows": 5})
    default_error_messages = {"required": "Write at least two lines here, a pair of numbers on each."}

    def to_python(self, value: Any) -> list[list[float]]:
        lines = [
            line.replace(";", " ").split() for line in super().to_python(value).splitlines() if line.strip()
        ]
        for line in lines:
            if len(line) != 2:
                raise ValidationError(
                    f"Write two numbers on each line, a space between them; '{' '.join(line)}' is not that."
                )
        return [[_number(each) for each in line] for line in lines]

    def prepare_value(self, value: Any) -> Any:
        return value if not isinstance(value, list) else "\n".join(f"{a:g} {b:g}" for a, b in value)


class CalibrationForm(forms.Form):
    """One kind of calibration of one channel. Figures of a curve are in the variable's shown unit."""

    def __init__(self, *args: Any, channel: Channel, kind: Kind, dated: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.channel, self.kind = channel, kind
        self.variable = VARIABLES[channel.instrument.variable]
        for parameter in kind.parameters:
            self.fields[parameter.name] = _field(parameter, self.variable)
        self.fields["reason"] = Words(
            max_length=200,
            required=False,
            label="How did you find these figures?",
            help_text="Such as: read dry, then under water. It helps whoever comes after you.",
        )
        if dated:
            self.fields["since"] = Moment(help_text="Readings until then keep the calibration of their day.")

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if not self.errors:
            self.parameters = self._kept(said)
            try:
                refuse_unless_fitting(self.channel, self.kind.name, self.parameters)
            except WrongCalibration as wrong:
                self._put_beside(str(wrong))
        return said

    def _kept(self, said: dict[str, Any]) -> dict[str, Any]:
        names = [each.name for each in self.kind.parameters]
        shown = {name: said[name] for name in names if said[name] not in (None, "", [])}
        return figures.kept_parameters(self.variable, self.kind.name, shown)

    def _put_beside(self, sentence: str) -> None:
        """Beside the first field that the sentence names."""
        for name in self.fields:
            if f"'{name}'" in sentence:
                label = f"'{self.fields[name].label}'"
                self.add_error(name, sentence.replace(f"'{name}'", label))
                return
        self.add_error(None, sentence)


def _field(parameter: Parameter, variable: Variable) -> forms.Field:
    unit = figures.unit_of(parameter.unit, variable)
    name = parameter.label
    options: dict[str, Any] = {
        "label": f"{name[0].upper()}{name[1:]}" + (f" [{unit}]" if unit else ""),
        "help_text": parameter.help,
        "required": parameter.default is None and not parameter.optional,
        "initial": parameter.default,
    }
    if parameter.form == "word":
        choices = [(word, figures.WORDS.get(word, word)) for word in parameter.choices]
        return forms.ChoiceField(choices=choices, widget=forms.RadioSelect, **options)
    return {"number": Figure, "numbers": NumberList, "pairs": PairList}[parameter.form](**options)


def _number(text: str) -> float:
    try:
        number = float(text.replace(",", ".").replace("\N{MINUS SIGN}", "-"))
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise ValidationError(f"'{text}' is not a number.")
    return number
