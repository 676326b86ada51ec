"""Set words of the day's sentences, marked for translation: how it blows, rains and presses, and small numbers."""

import numpy as np
from django.utils.translation import gettext_noop

WINDS = {
    "light air": gettext_noop("Light air"),
    "light breeze": gettext_noop("A light breeze"),
    "gentle breeze": gettext_noop("A gentle breeze"),
    "moderate breeze": gettext_noop("A moderate breeze"),
    "fresh breeze": gettext_noop("A fresh breeze"),
    "strong breeze": gettext_noop("A strong breeze"),
    "near gale": gettext_noop("A near gale"),
    "gale": gettext_noop("A gale"),
    "strong gale": gettext_noop("A strong gale"),
    "storm": gettext_noop("A storm"),
    "violent storm": gettext_noop("A violent storm"),
    "hurricane": gettext_noop("A hurricane"),
}
"""The names of the Beaufort scale as a sentence begins with them."""

RAINING = {
    "": (gettext_noop("It is raining"), gettext_noop("It was raining")),
    "light": (gettext_noop("It is raining lightly"), gettext_noop("It was raining lightly")),
    "heavy": (gettext_noop("It is raining heavily"), gettext_noop("It was raining heavily")),
    "violent": (gettext_noop("It is raining violently"), gettext_noop("It was raining violently")),
}
"""By the class of intensity: now, and then."""

STEADY = (gettext_noop("Pressure is steady."), gettext_noop("Pressure was steady."))

TENDENCIES = (
    (0.1, STEADY * 2),
    (1.6, (
        gettext_noop("Pressure is rising slowly."), gettext_noop("Pressure was rising slowly."),
        gettext_noop("Pressure is falling slowly."), gettext_noop("Pressure was falling slowly."),
    )),
    (3.6, (
        gettext_noop("Pressure is rising."), gettext_noop("Pressure was rising."),
        gettext_noop("Pressure is falling."), gettext_noop("Pressure was falling."),
    )),
    (6.05, (
        gettext_noop("Pressure is rising quickly."), gettext_noop("Pressure was rising quickly."),
        gettext_noop("Pressure is falling quickly."), gettext_noop("Pressure was falling quickly."),
    )),
    (np.inf, (
        gettext_noop("Pressure is rising very rapidly."), gettext_noop("Pressure was rising very rapidly."),
        gettext_noop("Pressure is falling very rapidly."), gettext_noop("Pressure was falling very rapidly."),
    )),
)  # fmt: skip
"""[hPa in three hours] Rising now and then, falling now and then: the words of the Met Office's marine forecasts
glossary (from memory)."""

NOT_BELIEVED = (
    gettext_noop("no"), gettext_noop("one"), gettext_noop("two"), gettext_noop("three"), gettext_noop("four"),
    gettext_noop("five"), gettext_noop("six"), gettext_noop("seven"), gettext_noop("eight"), gettext_noop("nine"),
    gettext_noop("ten"), gettext_noop("eleven"), gettext_noop("twelve"),
)  # fmt: skip
"""So many stations, as a sentence about those not believed counts them."""
