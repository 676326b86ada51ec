"""A station's supply, as its keeper sees it: some sentences, the last nights, and what reports cost."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from django.utils.translation import gettext as _

from network.pipeline.telling.power import Power, power
from network.pipeline.telling.power_words import in_words
from network.web.moment import Moment
from network.web.phrases import phrase
from network.web.quantities import figure
from stations.cautions import BATTERIES
from stations.models import Station

NIGHTS = 7
"""So many are listed."""


@dataclass(frozen=True)
class Night:
    """One night and the day before it; '' where not known."""

    dawn: date
    volts: str
    charge: str  # [%]
    took: str  # [%]
    gave: str  # [%]
    sun: str  # [%] of a clear day


@dataclass(frozen=True)
class Supply:
    """Everything network/_station_supply.html may show."""

    sentences: list[str]
    ends_soon: bool
    nights: list[Night]
    awake: int  # [%]
    caution: str


def supply(station: Station, moment: Moment, asked: Mapping[str, str]) -> Supply | None:
    """The supply at the moment, with what the keeper says that reports cost; None where nothing is known."""
    seen = power(station, moment.at, awake_asked(asked))
    if seen is None:
        return None
    return Supply(
        sentences=[phrase(one) for one in in_words(seen)],
        ends_soon=seen.ends_soon,
        nights=_nights(seen, moment),
        awake=round(100 * seen.awake),
        caution=_(BATTERIES),
    )


def awake_asked(asked: Mapping[str, str]) -> float | None:
    """The share of a night's fall that goes with the reports [1], from ``?awake=`` per cent; None if it is none."""
    text = asked.get("awake", "")
    return int(text) / 100 if text.isascii() and text.isdecimal() and int(text[:4]) <= 100 else None


def _nights(power: Power, moment: Moment) -> list[Night]:
    seen = power.seen
    columns = (seen.dawn, power.volts, seen.charge, seen.fall, seen.gain, seen.sun)
    return [
        Night(
            dawn=datetime.fromtimestamp(dawn, moment.zone).date(),
            volts=figure("battery_voltage", volts),
            charge=_per_cent(charge),
            took=_per_cent(took),
            gave=_per_cent(gave),
            sun=_per_cent(sun),
        )
        for dawn, volts, charge, took, gave, sun in list(zip(*(c.tolist() for c in columns), strict=True))[
            -NIGHTS:
        ][::-1]
    ]


def _per_cent(part: float) -> str:
    return "" if np.isnan(part) else f"{round(100 * part) + 0:d}".replace("-", "−")
