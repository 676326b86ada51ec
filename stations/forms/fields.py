"""Fields that several questions share, and their complaints in plain sentences."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from network.science.variables import Variable


class FigureInput(forms.TextInput):
    """A line for a number. A browser's own number field drops a comma and forgets what it cannot read."""

    def __init__(self, *, signed: bool) -> None:
        attrs = {"class": "number", "autocomplete": "off"}
        # A telephone's pad of figures may have no minus.
        super().__init__(attrs | ({} if signed else {"inputmode": "decimal"}))


class Figure(forms.FloatField):
    """A number; a decimal comma and a typeset minus are understood too. ``signed``: it may be below zero."""

    default_error_messages = {
        "invalid": "Write a number alone, such as 1.5, without its unit.",
        "required": "Write a number here.",
    }

    def __init__(self, *, signed: bool = True, **options: Any) -> None:
        least = options.get("min_value")
        signed = signed and (least is None or least < 0)
        options.setdefault("widget", FigureInput(signed=signed))
        super().__init__(**options)

    def to_python(self, value: Any) -> float | None:
        if isinstance(value, str):
            value = value.replace(",", ".").replace("\N{MINUS SIGN}", "-")
        return super().to_python(value)


class Moment(forms.DateTimeField):
    """A date and time on the village's clock, not in the future."""

    default_error_messages = {
        "invalid": "Write a date and time, such as 2026-05-01 14:30.",
        "required": "Say since when.",
    }
    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")

    def __init__(self, **options: Any) -> None:
        options.setdefault("label", "Since when is that so?")
        options.setdefault("initial", this_minute)
        super().__init__(**options)

    def clean(self, value: Any) -> Any:
        try:
            moment = super().clean(value)
        except OverflowError:
            raise ValidationError(self.error_messages["invalid"]) from None
        if moment and moment.year < 2000:
            raise ValidationError("That is before the year 2000. Is the date right?")
        if moment and moment > timezone.now():
            raise ValidationError("That is still to come: say since when it has been so.")
        return moment


class Choice(forms.ChoiceField):
    """One of some sentences, shown as a list of radio lines."""

    widget = forms.RadioSelect
    default_error_messages = {"required": "Choose one.", "invalid_choice": "Choose one of those listed."}


class Words(forms.CharField):
    """A line of text."""

    default_error_messages = {"required": "Write something here."}

    def to_python(self, value: Any) -> str:
        """One line: whatever breaks it becomes a space."""
        return " ".join(super().to_python(value).split())


class Address(forms.EmailField):
    """An e-mail address."""

    default_error_messages = {
        "invalid": "Write an address such as kay@example.org.",
        "required": "Write an address here, such as kay@example.org.",
    }


def this_morning() -> Any:
    """The beginning of today, on the village's clock."""
    return timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)


def this_minute() -> Any:
    """Now, on the village's clock, to the minute."""
    return timezone.localtime().replace(second=0, microsecond=0)


def spread_errors(form: forms.Form, problem: ValidationError) -> None:
    """Put a model's complaints beside the fields they are about, or at the top."""
    if not hasattr(problem, "error_dict"):
        form.add_error(None, problem)
        return
    for name, errors in problem.error_dict.items():
        form.add_error(name if name in form.fields else None, errors)


def decimal_places(variable: Variable, figure: float | None) -> float | str:
    """A figure as a field shows it: no more digits than anyone measures."""
    return "" if figure is None else float(f"{figure:.6g}")
