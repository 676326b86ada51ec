"""The usual cautions, for whoever is about to climb, dig or wire. Short, and local codes come first."""

HEIGHTS = (
    "Most accidents with weather stations are falls. Stand a ladder on firm ground with somebody at its foot, "
    "never work on it in wind, rain or frost, and leave roofs to those who do it for a living."
)
MASTS = (
    "Put a mast where it cannot touch an overhead power line whichever way it falls or swings while you raise it. "
    "Ask first what your local building and electrical codes require; fixings and stays may need a licensed trade."
)
LIGHTNING = (
    "Metal held up high can be struck. Earthing and surge protection are work for a licensed electrician. "
    "When you hear thunder, leave mast, station and cables alone until it is long over."
)
BATTERIES = (
    "A battery can burn or burst when it is shorted, overcharged, crushed or charged in frost. Fuse it close to its "
    "terminal, use the charger made for its kind, and let air in. Mains wiring is for a licensed electrician."
)

TREES = (
    "Before anything is cut: whose is it, is it protected, does a bird nest in it? Local rules say. Felling, climbing "
    "with a saw and work beside a power line are for those who are trained and licensed for it."
)

_WIND = ("wind_speed", "wind_gust", "wind_from_direction")


def for_variable(variable: str) -> tuple[str, ...]:
    """What to bear in mind while putting up an instrument of a variable."""
    if variable in _WIND:
        return HEIGHTS, MASTS, LIGHTNING
    if variable in ("irradiance", "light_level"):
        return (HEIGHTS,)
    return (BATTERIES,) if variable == "battery_voltage" else ()


def for_place() -> tuple[str, ...]:
    """What to bear in mind while choosing where a station stands."""
    return HEIGHTS, MASTS, LIGHTNING


def for_change(words: str) -> tuple[str, ...]:
    """What to bear in mind before doing what would better a siting."""
    if words.startswith("Cut"):
        return (TREES,)
    return (HEIGHTS, MASTS, LIGHTNING) if "mast" in words or "higher" in words else ()
