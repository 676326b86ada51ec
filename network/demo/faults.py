"""What goes wrong with honest boards: each fault changes what the instruments find."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Truth = dict[str, Array]

DAY = 86400.0


def seized_rotor(truth: Truth, days: Array) -> Truth:
    """The cups stop turning. ``days`` (t,) are those since the fault began, negative before."""
    return truth | {name: np.where(days >= 0, 0.0, truth[name]) for name in ("wind_speed", "wind_gust")}


def blocked_gauge(truth: Truth, days: Array) -> Truth:
    """Leaves close the funnel: nothing reaches the bucket."""
    return truth | {"rain_amount": np.where(days >= 0, 0.0, truth["rain_amount"])}


def failing_battery(truth: Truth, days: Array) -> Truth:
    """The battery loses an eighth of its voltage within ten days, faster and faster, and then rests there."""
    lost = 0.125 * np.clip(days / 10.0, 0.0, 1.2) ** 1.5
    return truth | {"battery_voltage": truth["battery_voltage"] * (1.0 - lost)}


FAULTS: dict[str, Callable[[Truth, Array], Truth]] = {
    "seized_rotor": seized_rotor,
    "blocked_gauge": blocked_gauge,
    "failing_battery": failing_battery,
}
"""Faults that begin one day and stay; a wrong unit or a slow clock is the board's own from the first."""
