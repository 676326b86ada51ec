"""A gauge, a mast, and the land that the wind has crossed."""

from stations.forms.siting.answer import Answer, AnswerForm, choice, metres


class RimForm(AnswerForm):
    """The gauge itself."""

    height = metres("Height of the rim above the ground", "0.3 to 1.5 m is usual.", most=100)
    shelter = choice(
        "What shelters it from the wind?",
        ("none", "Nothing: it stands in the open"),
        (
            "ring",
            "A hedge or other low things of even height all around, 2 to 4 times as far away as they are high",
        ),
        ("shield", "A wind shield of its own"),
    )


class MastForm(AnswerForm):
    """The mast."""

    height = metres(
        "Height of the instrument above the ground", "10 m is the standard; say what it is.", most=200
    )


class NarrowForm(AnswerForm):
    """A thin thing close by."""

    there = choice(
        "Is there a mast, pole or thin tree higher than 8 m beside it?",
        ("no", "No"),
        ("yes", "Yes, one or more"),
    )
    distance = metres("How far away is the nearest?")
    width = metres("How wide is it?", "A lamp post has 0.2 m, a poplar 3 m.", most=50)

    def clean(self) -> Answer:
        said = super().clean()
        if said.get("there") == "yes" and not (said.get("distance") and said.get("width")):
            self.add_error("distance", "How far away, and how wide? Both more than 0.")
        return said


class LandForm(AnswerForm):
    """The land up to a kilometre away."""

    roughness = choice(
        "What is the land like for half a kilometre around?",
        ("0.03", "Open: meadow, low crops, hardly a hedge"),
        ("0.1", "Fields with a few hedges or single farms far apart"),
        ("0.25", "High crops, hedges, scattered farms"),
        ("0.5", "Orchards, bushes, loosely built houses"),
        ("1", "A village, a wood"),
    )
