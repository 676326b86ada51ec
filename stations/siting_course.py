"""Which questions are asked about which instrument's surroundings, in which order."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from network.science.siting import family_of
from stations.forms.siting import FORMS
from stations.models import Placement
from stations.surroundings import Answers, surroundings


@dataclass(frozen=True)
class Question:
    """One question; ``name`` is in its address and names its form and its drawing."""

    name: str
    asks: str
    explains: str


HEIGHT = Question(
    "height",
    "How high does it hang, and in what?",
    "Hold a tape measure from the grass to the middle of the shield.",
)
GROUND = Question(
    "ground",
    "What is under it?",
    "Grass keeps the air above it honest; stone stores the sun and gives it back in the evening.",
)
SLOPE = Question(
    "slope", "Is the ground level?", "Cold air runs down a slope like water, and wind runs up it."
)
NEAR = Question(
    "near",
    "How near is what the sun heats?",
    "Measure, or pace it out: a long step is about a metre. What is further than 100 m away may stay empty.",
)
COVER = Question(
    "cover",
    "How much of the ground around do they cover?",
    "Walls, roofs, paving, gravel and water together, as seen from above. A guess to the nearest 5 % is good; "
    "a car is about 10 m².",
)
AROUND = Question(
    "around",
    "What stands around it?",
    "Stand beside it and turn. In each direction take the highest thing: how far away is its foot, and how high is "
    "its top above the ground? A door is 2 m, a storey 3 m. Leave open what is open.",
)
SHADE = Question(
    "shade",
    "When does a shadow fall on it?",
    "If you have watched, say it: held out at arm’s length a fist covers about 10° of the sky. Never look into the sun.",
)
RIM = Question(
    "rim",
    "How high is the rim, and what shelters it?",
    "Wind carries drops past an open funnel, the more the higher it stands.",
)
MAST = Question(
    "mast",
    "How high is the mast?",
    "From the ground to the cups or the vane; on a roof, from the ground too.",
)
NARROW = Question(
    "narrow",
    "Does a thin thing stand close?",
    "A pole in front of the cups leaves a wake like a pier in a river.",
)
LAND = Question(
    "land", "What is the land around like?", "The wind remembers half a kilometre of what it crossed."
)
BRIGHT = Question(
    "bright",
    "Does anything throw light on it?",
    "A white wall on the shady side adds light that the sky did not send.",
)

COURSES: Mapping[str, tuple[Question, ...]] = {
    "warmth": (HEIGHT, GROUND, SLOPE, NEAR, COVER, AROUND, SHADE),
    "rain": (RIM, SLOPE, AROUND),
    "wind": (MAST, AROUND, NARROW, LAND),
    "sunlight": (AROUND, SHADE, BRIGHT),
}


def course(variable: str, answers: Answers, place: Placement) -> tuple[Question, ...]:
    """The questions for a variable; that for shares of the ground only where something warm is near."""
    asked = COURSES.get(family_of(variable), ())
    nearest = surroundings(answers, place.latitude).nearest_warmth
    spared = nearest is not None and nearest[1] >= 100.0
    return tuple(each for each in asked if not (spared and each is COVER))


def form(
    question: Question, variable: str, answers: Answers, place: Placement, *args: Any, **options: Any
) -> Any:
    """The form of a question, as far as the answers before it leave something to ask."""
    options["family"] = family_of(variable)
    if question is COVER:
        nearest = surroundings(answers, place.latitude).nearest_warmth
        options["nearest"] = nearest[1] if nearest else 0.0
    return FORMS[question.name](*args, **options)
