"""What stands around an instrument, and the class that follows."""

from typing import Any

from django import forms

from network.science.variables import VARIABLES
from stations.forms.fields import Choice
from stations.siting_classes import NOT_KNOWN, classification


class SitingForm(forms.Form):
    """A dated note about one variable's surroundings; the same may hold for others measured beside it."""

    siting_class = Choice(label="Which of these is the first that is true?", required=False)
    words = forms.CharField(
        max_length=2000,
        required=False,
        label="In your own words",
        widget=forms.Textarea(attrs={"rows": 5}),
    )
    also = forms.MultipleChoiceField(
        required=False, label="The same holds for", widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, variable: str, beside: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        described = classification(variable)
        self.fields["words"].help_text = described.look_for
        if described.classes:
            numbered = enumerate(described.classes, 1)
            choices = [(str(number), f"{number}. {sentence}") for number, sentence in numbered]
            self.fields["siting_class"].choices = [*choices, ("", NOT_KNOWN)]
        else:
            del self.fields["siting_class"]
        if beside:
            self.fields["also"].choices = [(name, VARIABLES[name].words) for name in beside]
            self.fields["also"].initial = beside
        else:
            del self.fields["also"]

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        said["siting_class"] = int(said["siting_class"]) if said.get("siting_class") else None
        if said["siting_class"] is None and not said.get("words"):
            self.add_error("words", "Choose a class or write some words: either helps.")
        return said
