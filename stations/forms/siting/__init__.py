"""The questions about what stands around an instrument: a form each."""

from collections.abc import Mapping
from typing import Any

from django import forms

from stations.forms.siting.answer import Answer, AnswerForm
from stations.forms.siting.around import AroundForm, BrightForm, ShadeForm
from stations.forms.siting.masts import LandForm, MastForm, NarrowForm, RimForm
from stations.forms.siting.warmth import CoverForm, GroundForm, HeightForm, NearForm, SlopeForm

__all__ = ["FORMS", "AnswerForm", "WordsForm"]


class WordsForm(forms.Form):
    """What remains to be said, and the day it is written down."""

    words = forms.CharField(
        max_length=2000,
        required=False,
        label="Anything else, in your own words",
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def __init__(self, *args: Any, answered: bool, hint: str, **options: Any) -> None:
        self.answered = answered
        super().__init__(*args, **options)
        self.fields["words"].help_text = hint

    def clean(self) -> Answer:
        said = super().clean()
        if not self.answered and not said.get("words"):
            self.add_error("words", "Answer a question or write some words: either helps.")
        return said


FORMS: Mapping[str, type[AnswerForm]] = {
    "height": HeightForm,
    "ground": GroundForm,
    "slope": SlopeForm,
    "near": NearForm,
    "cover": CoverForm,
    "around": AroundForm,
    "shade": ShadeForm,
    "rim": RimForm,
    "mast": MastForm,
    "narrow": NarrowForm,
    "land": LandForm,
    "bright": BrightForm,
}
