"""How far a case's readings stand off what the neighbours lead one to expect, at the frames compared."""

from dataclasses import dataclass, replace

import numpy as np

from network.models import Case, Comparison, Observation
from network.models.storage import Floats, read
from network.pipeline.ledger import blocks
from network.pipeline.neighbours.frames import RAIN_SPAN
from network.science.variables import MAPPED, VARIABLES

BY_TIME = ("air_temperature", "sea_level_pressure")
"""By what the departures of a station itself are told: its clock shows in them first."""

STANDS_FOR = {"station_pressure": "sea_level_pressure"}
"""What is compared in place of a variable that is not: a barometer's error is the same at sea level."""

LONGEST = 7 * blocks.DAY
"""[s] A case that goes on longer is judged by its last week."""

ALLOWED = 3.0
"""Standard errors that a reading may stand off, as for the departure check."""


@dataclass(frozen=True)
class Departures:
    """Frames of a case, arrays of shape (n,), in the canonical unit of its variable."""

    variable: str
    at: np.ndarray  # ends of the frames [UTC epoch s]
    observed: Floats
    departure: Floats  # observed minus expected
    error: Floats  # standard error of the departure

    def __len__(self) -> int:
        return len(self.at)

    @property
    def expected(self) -> Floats:
        """From the neighbours alone, so that no decision about this station changes it."""
        return self.observed - self.departure

    @property
    def median(self) -> float:
        """NaN where nothing was compared."""
        return float(np.median(self.departure)) if len(self) else float("nan")

    @property
    def typical(self) -> float:
        """The median of their sizes: of a clock that is off it says more than that of the departures."""
        return float(np.median(np.abs(self.departure))) if len(self) else float("nan")

    @property
    def misfit(self) -> float:
        """Root mean square in standard errors; NaN where nothing was compared."""
        strained = np.minimum(np.abs(self.departure) / self.error, 1e3)
        return float(np.sqrt(np.mean(strained**2))) if len(self) else float("nan")

    @property
    def fitting(self) -> int:
        """How many frames the neighbours would not object to."""
        return int(np.sum(np.abs(self.departure) <= ALLOWED * self.error))

    def if_observed(self, observed: Floats) -> "Departures":
        """The same frames, had the station read otherwise; those it did not read are left out."""
        made = replace(self, observed=observed, departure=observed - self.expected)
        known = np.isfinite(made.departure)
        return replace(
            made, at=made.at[known], observed=made.observed[known], departure=made.departure[known],
            error=made.error[known],
        )  # fmt: skip


def span_of(case: Case) -> tuple[int, int]:
    """The case, or as much of its end as is looked at [UTC epoch s]."""
    return max(case.begins_at, case.ends_at - LONGEST), case.ends_at


def departures_of(case: Case) -> Departures | None:
    """The departures of a case; None where nothing of its kind is compared."""
    if case.variable:
        return _departures(case, case.variable)
    found = (_departures(case, name) for name in BY_TIME)
    return next((one for one in found if one is not None and len(one)), None)


def _departures(case: Case, variable: str) -> Departures | None:
    compared = STANDS_FOR.get(variable, variable)
    if compared not in MAPPED:
        return None
    begins_at, ends_at = span_of(case)
    frames = read(
        Comparison, [case.station_id], begins_at, ends_at + blocks.FRAME, (compared, f"{compared}_error")
    )
    observed = in_frames(variable, *readings_of(case, variable), frames.at)
    error = np.hypot(frames.columns[f"{compared}_error"], VARIABLES[compared].accuracy)
    found = Departures(variable, frames.at, observed, frames.columns[compared], error)
    return found.if_observed(observed)


def readings_of(case: Case, variable: str, beyond: int = 0) -> tuple[np.ndarray, Floats]:
    """Times and values of a variable over a case, and for so long [s] before and after it."""
    begins_at, ends_at = span_of(case)
    first, last = begins_at - RAIN_SPAN - beyond, ends_at + blocks.FRAME + beyond
    rows = read(Observation, [case.station_id], first, last, (variable,))
    return rows.at, rows.columns[variable]


def in_frames(variable: str, seconds: np.ndarray, values: Floats, at: np.ndarray) -> Floats:
    """Readings as they are compared: the mean of the ten minutes before each of ``at``, or an hour's sum.

    NaN where there is none.
    """
    total = VARIABLES[variable].summary == "sum"
    held = np.isfinite(values)
    seconds, running = seconds[held], np.concatenate([[0.0], np.cumsum(values[held])])
    first = np.searchsorted(seconds, at - (RAIN_SPAN if total else blocks.FRAME), "right")
    last = np.searchsorted(seconds, at, "right")
    count = last - first
    return np.where(
        count > 0, (running[last] - running[first]) / (1 if total else np.maximum(count, 1)), np.nan
    )
