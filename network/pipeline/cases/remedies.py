"""What is best done about what a check sees, where the check alone tells."""

BY_THEMSELVES = {
    "range_end": "The instrument is at the end of what it can say: nothing is to be mended here.",
    "saturated": "The instrument is at the end of what it can say: nothing is to be mended here.",
    "supply": "The battery was low, which its keeper can mend and no decision can.",
    "physical": "No such value exists: the checks are right.",
    "repeated": "The station said two things at once: the checks are right.",
}
"""Checks that are right as they stand, and why."""

AT_FAULT = ("stuck", "still_alone", "rotor", "rain_missed", "rain_alone", "rain_in_dry_air", "noise", "spike",
            "variance_collapsed")  # fmt: skip
"""Checks that see a fault of the instrument itself, which no arithmetic mends."""

OFF_BY_AN_AMOUNT = ("offset", "break_point")
"""Checks whose finding is an amount by which every reading is off."""

ASIDE = {
    "drift": (
        "It goes further off from day to day, so no one amount mends it.",
        "It drifts. Please clean it and look for moisture in its plug; if it goes on drifting it wants replacing.",
    ),
    "daytime_bias": (
        "It is warm while the sun shines: its nights are right, and no one amount mends its days.",
        "It is too warm in sunshine. Please look at its shield: white, ventilated, and out of the sun?",
    ),
    "wind_by_direction": (
        "Something stands in the way of the wind, and no arithmetic takes it away.",
        "Something stands in the way of the wind on one side. Can it stand higher or further off?",
    ),
    "shaded": (
        "Something shades it at certain hours, and no arithmetic takes that away.",
        "Something shades it at certain hours of the day. Can it stand more freely?",
    ),
}
"""What is best kept out of the maps until its keeper has looked: why, and what the keeper is told."""

QUESTIONS = {
    "moved": (
        "It reads as if it stood elsewhere: only its keeper knows where.",
        "Has the station been moved? Please enter where it stands now, and since when.",
    ),
    "catch": (
        "The gauge catches another share of the rain than its neighbours: somebody must look at it.",
        "Please look into the funnel of the gauge and clean it. Is it level, and free of dripping branches?",
    ),
    "rotor_start": (
        "The rotor turns late or not at all: somebody must look at it.",
        "Please watch the rotor from the ground: does it turn in the least breath of air? Its bearing may be worn.",
    ),
    "light_loss": (
        "It has come to see less light: dust or a bird most likely.",
        "Please wipe the light sensor clean and tell us when you did.",
    ),
    "swapped": (
        "Two channels look exchanged: only its keeper can see which wire goes where.",
        "Are two of the wires or two of the names exchanged? Please compare with the list of channels.",
    ),
}
"""What only the keeper can answer: why, and the question."""
