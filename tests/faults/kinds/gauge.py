"""What goes wrong with a rain gauge.

A blocked gauge can be seen when it rains: two wet events of 1.5 mm, six dry hours between them. A leak can be seen
over 10 mm in three events. Tipping by wind needs a dry gale (gusts above 7 m/s), by hand a dry hour.
"""

import numpy as np

from tests.faults.kind import Kind, all_within
from tests.faults.said import SPOKEN, Bools, Floats, Said, tips

GAUGE = ("rain_amount",)
GAUGE_ALSO = frozenset(
    {"rain_missed", "rain_alone", "rain_in_dry_air", "catch", "departure", "spike", "step", "stuck"}
)
DRY = 6 * 12
"""Reports without rain that part two wet events: six hours."""


def wet_events(rain: Floats, least: float) -> int:
    """How many spells of rain [mm] (t,) have at least so much."""
    return sum(float(rain[part].sum()) >= least for part in spells(rain))


def spells(rain: Floats) -> list[np.ndarray]:
    """The wet reports of each spell of rain (t,); six dry hours part two spells."""
    wet = np.flatnonzero(rain > 0)
    return np.split(wet, np.flatnonzero(np.diff(wet) > DRY) + 1) if wet.size else []


def blocked(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """Leaves close the funnel."""
    return said.saying(where, rain_amount=0.0)


def leaking(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """Less than half of it reaches the bucket."""
    return said.saying(where, rain_amount=tips(said.truth["rain_amount"] * random.uniform(0.3, 0.5)))


def tipped_by_wind(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """The pole shakes in gusts, and the bucket with it."""
    shaken = where & (said.truth["wind_gust"] > 7.0) & (random.random(where.size) < 0.6)
    more = random.integers(1, 4, where.size) * SPOKEN["rain_amount"][2]
    return said.saying(shaken, rain_amount=np.round(said.values["rain_amount"] + more, 4))


def tipped_by_hand(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """Somebody rinses it."""
    more = random.integers(20, 60) * SPOKEN["rain_amount"][2] / max(int(where.sum()), 1)
    bucket = SPOKEN["rain_amount"][2]
    return said.saying(where, rain_amount=np.round(np.ceil(more / bucket) * bucket, 4))


def twice_wet(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether there were two wet events to miss."""
    missed = np.where(
        said.values["rain_amount"] != honest.values["rain_amount"], honest.values["rain_amount"], 0.0
    )
    return wet_events(missed, 1.5) >= 2


def second_event_over(honest: Said, said: Said, affected: Bools) -> int:
    """The report at which the second wet event that it missed is over: six dry hours after its last rain."""
    missed = np.where(
        said.values["rain_amount"] != honest.values["rain_amount"], honest.values["rain_amount"], 0.0
    )
    ends = [part[-1] + DRY for part in spells(missed) if float(missed[part].sum()) >= 1.5]
    return min(int(ends[1]), len(missed) - 1)


def often_wet(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether there was rain enough to compare."""
    changed = said.values["rain_amount"] != honest.values["rain_amount"]
    spell = np.zeros_like(changed)
    if changed.any():
        spell[np.argmax(changed) : len(changed) - np.argmax(changed[::-1])] = True
    rain = np.where(spell, honest.values["rain_amount"], 0.0)
    return bool(rain.sum() >= 10.0) and wet_events(rain, 1.0) >= 3


def dry(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether no true rain fell within three hours of any affected reading."""
    if not affected.any():
        return False
    first, last = np.flatnonzero(affected)[[0, -1]]
    return not (honest.truth["rain_amount"][max(first - 36, 0) : last + 37] > 0).any()


def dry_gale(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether the wind tipped it often, without rain."""
    return int(affected.sum()) >= 8 and dry(honest, said, affected)


KINDS = (
    Kind("gauge blocked", GAUGE, (5.0, 12.0), blocked, frozenset({"catch", "rain_missed"}), GAUGE_ALSO,
         visible=twice_wet, by=second_event_over, throughout=True),
    Kind("gauge leaking", GAUGE, (9.0, 14.0), leaking, frozenset({"catch", "rain_missed"}), GAUGE_ALSO,
         visible=often_wet, throughout=True),
    Kind("gauge tipped by wind", GAUGE, (3 / 24, 8 / 24), tipped_by_wind,
         frozenset({"rain_alone", "rain_in_dry_air"}), GAUGE_ALSO, visible=dry_gale),
    Kind("gauge tipped by hand", GAUGE, (1 / 288, 2 / 288), tipped_by_hand,
         frozenset({"rain_alone", "rain_in_dry_air", "spike"}), GAUGE_ALSO, affects=all_within, visible=dry),
)  # fmt: skip
