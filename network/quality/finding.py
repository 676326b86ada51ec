"""What the long run finds: a fault that only weeks show."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Finding:
    """A fault that only weeks show: which readings it is about, and how large it is."""

    check: str
    variable: str
    """Empty where it is the station's as a whole: its clock, its place."""
    begins_at: int
    """[UTC epoch s] The end of the last frame before the fault: readings after it are affected."""
    ends_at: int
    """[UTC epoch s] The end of the last frame affected."""
    strain: float
    """As in Evidence: 1 is at the limit and above it fails."""
    size: float
    """How large: a difference in the unit of the variable, a time [s], a share [1], as the check says."""
    error: float
    """Standard error of ``size``."""
    hint: str = ""
    """A few words that go into the sentence for the keeper, no figures in units; at most 60 characters."""
