"""What is known of a station's supply, in sentences for its keeper."""

from collections.abc import Iterator

import numpy as np

from network.pipeline.telling.power import Power

HARDLY = 0.005
"""[1] What a night must take to be worth a figure."""

LONGER = 2.0
"""So many times as far apart are the reports that are weighed up."""

TOLD_BY = {
    "history": "as its own nights at other intervals show",
    "assumption": "if {share} of what a night takes goes with the reports, which is assumed and not measured",
    "keeper": "if {share} of what a night takes goes with the reports, as you say",
}


def in_words(power: Power) -> list[str]:
    """All of it, what matters most first."""
    return [end(power), state(power), *more(power)]


def state(power: Power) -> str:
    """How full it is, and how that was told."""
    battery, ahead = power.battery, power.outlook
    named = f"The {battery.words}" if battery.told else f"The battery, a {battery.words} by its voltage,"
    return (
        f"{named} rested at {power.volts[-1]:.2f} V before the last dawn: about {_share(ahead.charge)} full, "
        f"give or take {_share(battery.kind.doubt)}."
    )


def end(power: Power) -> str:
    """When it comes to an end, if it does."""
    ahead = power.outlook
    if power.at_its_end:
        return "The battery is as low as its sensors can bear."
    if ahead.falling:
        return (
            f"At this rate the battery lasts {_nights(ahead.nights)}{_likely(ahead.soonest, ahead.latest)}."
        )
    if np.isfinite(ahead.without_sun):
        dark = f"With no sun at all the battery would last {_nights(ahead.without_sun)}"
        return f"{dark} (at the least {ahead.without_sun_least:.0f}). As the days are, they make up for the nights."
    return "The battery hardly falls in a night: no end is in sight."


def more(power: Power) -> Iterator[str]:
    """What nights take and days give, and what reports farther apart would gain."""
    ahead = power.outlook
    if not ahead.fall > HARDLY:
        return
    gave = f", and a day gave back {_share(max(ahead.gain, 0.0))} of late" if np.isfinite(ahead.gain) else ""
    yield f"A night takes {_share(ahead.fall)} of it{gave}."
    if ahead.falling and np.isfinite(ahead.clear_gain):
        yield advice(power)
    hours = power.hours_gained(LONGER)
    if hours >= 1:
        minutes = [f"{seconds / 60:g}" for seconds in (LONGER * power.report_every, power.report_every)]
        yield (
            f"A report every {minutes[0]} minutes instead of {minutes[1]} would gain about {hours:.0f} hours in the dark, "
            f"{TOLD_BY[power.awake_from].format(share=_share(power.awake))}: an estimate."
        )


def advice(power: Power) -> str:
    """Whether to wait for the sun or to look at the panel."""
    clear = _share(max(power.outlook.clear_gain, 0.0))
    if power.outlook.clear_gain > power.outlook.fall:
        return f"A clear day would give back about {clear}, so the sun may mend it; a clean panel helps."
    return (
        f"Even a clear day would give back no more than about {clear}: look for dust, snow, leaves or new shade on the "
        "panel, and at the age of the battery."
    )


def _nights(count: float) -> str:
    if count < 1:
        return "less than one more night"
    return "about one more night" if count < 1.5 else f"about {count:.0f} more nights"


def _likely(soonest: float, latest: float) -> str:
    if not np.isfinite(latest):
        return f", {soonest:.0f} at the least"
    return (
        f", likely no more than {latest:.0f}" if soonest < 0.5 else f", likely {soonest:.0f} to {latest:.0f}"
    )


def _share(part: float) -> str:
    return f"{100 * part:.0f} %"
