"""What lies under and near a thermometer."""

from typing import Any

from stations.forms.fields import Figure
from stations.forms.siting.answer import AnswerForm, choice, metres


class HeightForm(AnswerForm):
    """Where the thermometer hangs, and in what."""

    height = metres("Height of the thermometer above the ground", "1.25 to 2 m is usual.", most=100)
    shield = choice(
        "What keeps sun and rain off it?",
        ("screen", "A white louvred screen or a stack of plates"),
        ("fan", "A shield through which a fan draws air"),
        ("roof", "A small roof or half a box"),
        ("none", "Nothing"),
    )


class GroundForm(AnswerForm):
    """What grows, or does not, beneath."""

    ground = choice(
        "What covers the ground within a few steps of it?",
        ("short", "Short grass, below a hand’s width (10 cm), or what grows naturally as low"),
        ("knee", "Grass up to 25 cm"),
        ("tall", "Taller growth: a meadow, beds, shrubs"),
        ("stone", "Paving, gravel, decking, bare earth or a roof"),
    )


class SlopeForm(AnswerForm):
    """How level it is."""

    slope = choice(
        "How steep is the ground?",
        ("level", "Level, or rising less than 1 m in 3"),
        ("steep", "Steeper: 1 m in 3 up to 1 m in 2"),
        ("very", "Very steep: more than 1 m in 2"),
    )


class NearForm(AnswerForm):
    """The nearest of what stores the sun’s warmth, or is water."""

    wall = metres("To the nearest wall or house")
    roof = metres("To the nearest roof, beneath or beside it")
    paving = metres("To the nearest paving, gravel, road or terrace")
    water = metres("To a pond, pool or river")


class CoverForm(AnswerForm):
    """How much of the circles around it they cover."""

    def __init__(self, *args: Any, nearest: float = 0.0, **options: Any) -> None:
        super().__init__(*args, **options)
        for radius, words in (
            (3, "three steps"),
            (5, "five"),
            (10, "ten"),
            (30, "thirty"),
            (100, "a hundred"),
        ):
            if radius > nearest:
                self.fields[f"within_{radius}"] = Figure(
                    label=f"Of the circle of {radius} m ({words}) [%]",
                    required=False,
                    min_value=0,
                    max_value=100,
                    error_messages={"min_value": "From 0 to 100.", "max_value": "From 0 to 100."},
                )
