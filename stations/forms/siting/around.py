"""What stands around, and what of the light it takes or gives."""

from typing import Any

from django import forms

from network.science.siting import DIRECTIONS
from stations.forms.fields import Choice
from stations.forms.siting.answer import Answer, AnswerForm, choice, metres


class AroundForm(AnswerForm):
    """The highest thing in each of eight directions."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        for name in DIRECTIONS:
            self.fields[f"{name}_kind"] = forms.ChoiceField(
                choices=(("", "open"), ("wall", "wall, house"), ("tree", "tree, hedge")),
                required=False,
                label=f"In the {name}",
            )
            self.fields[f"{name}_distance"] = metres(f"Distance in the {name}")
            self.fields[f"{name}_height"] = metres(f"Height in the {name}", most=200)

    @property
    def rows(self) -> list[tuple[str, forms.BoundField, forms.BoundField, forms.BoundField]]:
        """Direction by direction: its name, what, how far, how high."""
        return [
            (name, self[f"{name}_kind"], self[f"{name}_distance"], self[f"{name}_height"])
            for name in DIRECTIONS
        ]

    def clean(self) -> Answer:
        said = super().clean()
        for name in DIRECTIONS:
            told = [said.get(f"{name}_{what}") is not None for what in ("distance", "height")]
            if any(told) and not all(told):
                lacking = f"{name}_height" if told[0] else f"{name}_distance"
                self.add_error(lacking, f"Write both figures for the {name}, or neither.")
            if said.get(f"{name}_distance") == 0:
                self.add_error(f"{name}_distance", "More than 0: from the instrument to its foot.")
            if said.get(f"{name}_kind") and not any(told) and f"{name}_distance" not in self.errors:
                self.add_error(f"{name}_distance", f"How far is it, and how high, in the {name}?")
        return said


class ShadeForm(AnswerForm):
    """Until when it lies in shadow, as seen."""

    shade = Choice(
        required=False,
        label="Up to which height of the sun does a shadow still fall on it?",
        choices=(
            ("", "I have not watched: work it out from what stands around"),
            ("5", "Only while the sun is lower than 5° (three fingers)"),
            ("7", "Only while it is lower than 7° (a hand without the thumb)"),
            ("10", "Only while it is lower than 10° (a fist)"),
            ("20", "Only while it is lower than 20° (two fists)"),
            ("90", "Also while it stands higher"),
        ),
    )
    share = Choice(
        required=False,
        label="On the worst day of the year, for how much of the daytime?",
        choices=(
            ("", "Work it out from what stands around"),
            ("0.2", "For less than a third"),
            ("0.5", "For a third or more"),
        ),
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        if self.family != "sunlight":
            del self.fields["share"]


class BrightForm(AnswerForm):
    """What throws light on the sensor."""

    bright = choice(
        "Does a white wall, glass or a bright roof throw light on it?",
        ("1", "No, or it stays below 5° (three fingers) or is narrower than a fist"),
        ("2", "A little: no higher than 7°, or no wider than two fists"),
        ("3", "Some: no higher than 15°, or no wider than four fists"),
        ("4", "More than that"),
    )
