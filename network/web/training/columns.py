"""The columns of the training table, each with its unit and what it means."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from network.science.variables import VARIABLES
from network.web.quantities import usual_unit, words_of

AHEAD = (1, 3, 6)
"""[h] So far the targets look ahead."""

LEFT_OUT = frozenset({"battery_voltage"})
"""Of no use to whoever learns the weather."""


@dataclass(frozen=True)
class Column:
    """One column; a figure where ``decimals`` says with how many it is written."""

    name: str
    unit: str  # UCUM, as in all files of readings; '' of a text or a time
    meaning: str
    decimals: int = 0


def columns(variables: Sequence[str]) -> list[Column]:
    """All of them, in their order in the file."""
    return [
        Column("station", "", _("the station’s name")),
        Column("ends_at", "", _("the end of the hour, in UTC")),
        *(column for name in variables for column in _of_hour(name)),
        *(column for hours in AHEAD for column in _ahead(hours)),
    ]


def _of_hour(name: str) -> Iterator[Column]:
    kinds = {
        "sum": _("{variable}: what fell in the hour"),
        "maximum": _("{variable}: the highest of the hour"),
        "direction": _("{variable}: the mean of the hour, on the circle"),
    }
    said = kinds.get(VARIABLES[name].summary, _("{variable}: the mean of the hour"))
    meaning = said.format(variable=words_of(name))
    yield Column(name, usual_unit(name), meaning, VARIABLES[name].decimals + 2)
    yield Column(f"{name}_good", "1", _("good readings behind it"))
    yield Column(f"{name}_reports", "1", _("readings of any verdict"))


def _ahead(hours: int) -> Iterator[Column]:
    own = _("target: what falls at the station in the {hours} hours after")
    yield Column(f"rain_next_{hours}h", "mm", own.format(hours=hours), 2)
    yield Column(f"rain_next_{hours}h_known", "h", _("how many of these hours its gauge knows"))
    village = _(
        "target: the middle of what falls at the village’s gauges that know all of the {hours} hours after"
    )
    yield Column(f"village_rain_next_{hours}h", "mm", village.format(hours=hours), 2)
    yield Column(f"village_rain_next_{hours}h_gauges", "1", _("how many gauges these are"))
