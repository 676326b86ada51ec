"""What every question about the surroundings has in common: an answer may always stay open."""

from typing import Any

from django import forms

from stations.forms.fields import Choice, Figure

Answer = dict[str, Any]


class AnswerForm(forms.Form):
    """One question. ``answer`` is what of it was told, by field."""

    def __init__(self, *args: Any, family: str, **options: Any) -> None:
        self.family = family
        super().__init__(*args, **options)

    @property
    def answer(self) -> Answer:
        return {name: said for name, said in self.cleaned_data.items() if said not in (None, "")}


def metres(label: str, hint: str = "", *, most: float = 2000) -> Figure:
    return Figure(
        label=f"{label} [m]",
        help_text=hint,
        required=False,
        min_value=0,
        max_value=most,
        error_messages={
            "min_value": "Write metres, from 0 on.",
            "max_value": "Write metres: that is too far.",
        },
    )


def choice(label: str, *choices: tuple[str, str], hint: str = "") -> Choice:
    return Choice(choices=(*choices, ("", "I do not know yet")), label=label, help_text=hint, required=False)
