"""Siting of rain gauges: slope, and how near what stands higher than the rim."""

from collections.abc import Iterator
from dataclasses import replace
from math import inf

from network.science.siting.assessment import Change, Finding
from network.science.siting.surroundings import Obstacle, Surroundings

RATIO = {2: 2.0, 3: 1.0, 4: 0.5}
"""Obstacles are at least so many times as far away as they rise above the rim, by class."""

USUAL_RIM = 1.0
"""[m] Height of the rim if nobody has said."""


def rules(here: Surroundings) -> tuple[Finding, ...]:
    """What each rule makes of the surroundings of a gauge.

    Source: WMO-No. 8, volume I, annex 1.D (ISO 19289), precipitation: slopes and angles read second-hand, the
    ratios that belong to them and the ring of class 1 from memory.
    """
    return _slope(here), _around(here)


def _slope(here: Surroundings) -> Finding:
    if here.slope is None:
        return Finding(None, "How steep is the ground?", "slope")
    if here.slope <= 19:
        return Finding(1, "The ground is level enough.")
    if here.slope <= 30:
        return Finding(3, "The ground is steeper than 1 in 3 (19°): wind carries drops across the rim.")
    return Finding(4, "The ground is steeper than 1 in 2 (30°): wind carries drops across the rim.")


def _around(here: Surroundings) -> Finding:
    if here.obstacles is None:
        return Finding(None, "What stands in each direction, and how high is it?", "around")
    one, ratio = nearest(here)
    number = next((number for number, least in RATIO.items() if ratio >= least), 5)
    if number > 2:
        most = (
            f"{one.words} is {one.distance:g} m away and rises {one.height - rim(here):.1f} m above the rim"
            if one
            else ""
        )
        return Finding(
            number,
            f"{most[0].upper()}{most[1:]}: {_times(ratio)} as far as it is high, where two or more are wanted.",
        )
    if here.gauge_shelter is None:
        return Finding(None, "What shelters the gauge from the wind?", "rim")
    sheltered = here.gauge_shelter == "ring" or (here.gauge_shelter == "shield" and ratio >= 4)
    if sheltered:
        return Finding(1, "It is sheltered from the wind, and nothing stands close.")
    return Finding(
        2, "Nothing stands closer than twice its height; but the wind can blow drops past the rim."
    )


def rim(here: Surroundings) -> float:
    """[m] Height of the rim, told or usual."""
    return USUAL_RIM if here.height is None else here.height


def nearest(here: Surroundings) -> tuple[Obstacle | None, float]:
    """The obstacle with the least ratio of distance to height above the rim."""
    worst = min(here.obstacles or (), key=lambda one: one.ratio(rim(here)), default=None)
    return worst, worst.ratio(rim(here)) if worst else inf


def _times(ratio: float) -> str:
    return f"only {ratio:.1f} times"


def changes(here: Surroundings) -> Iterator[Change]:
    """What a household could do for its gauge, the easiest first."""
    one, ratio = nearest(here)
    if one is not None and ratio < 2:
        others = [each for each in here.obstacles or () if each is not one]
        above = one.height - rim(here)
        least = 2.0 * above
        moved = f"Stand the gauge at least {least:.0f} m from {one.words}"
        if one.grows:
            lower = rim(here) + one.distance / 2
            cut = f"Cut {one.words} down to {lower:.1f} m"
            yield Change(
                f"{cut}, or stand the gauge at least {least:.0f} m from it.", _with(here, others, one, least)
            )
        else:
            yield Change(f"{moved}.", _with(here, others, one, least))
        away = [
            replace(each, distance=max(each.distance, 2 * (each.height - rim(here))))
            for each in here.obstacles or ()
        ]
        words = "Stand the gauge where everything is at least twice as far away as it rises above the rim."
        yield Change(words, replace(here, obstacles=tuple(away)))
    if here.gauge_shelter == "none":
        words = "Give the gauge a ring of low, even shelter (a hedge 2 to 4 times its height away), or a wind shield."
        yield Change(words, replace(here, gauge_shelter="ring"))
    if here.slope is not None and here.slope > 19:
        yield Change("Stand it on level ground.", replace(here, slope=0.0))


def _with(here: Surroundings, others: list[Obstacle], one: Obstacle, distance: float) -> Surroundings:
    return replace(here, obstacles=(*others, replace(one, distance=distance)))
