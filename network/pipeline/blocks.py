"""How time is cut: blocks are what is computed at once, frames are what is compared and drawn."""

from collections.abc import Iterator

MINUTE = 60
HOUR = 3600
DAY = 86400

BLOCK = 6 * HOUR
"""[s] The unit of work. Changing it changes where evidence is cut: rebuild afterwards."""

CONTEXT = 24 * HOUR
"""[s] How far back the checks look from a block's beginning."""

AHEAD = 6 * HOUR
"""[s] How far past a block's end they look: a stuck value shows itself only later."""

SLOT = 5 * MINUTE
"""[s] Readings within one slot count as simultaneous."""

FRAME = 10 * MINUTE
"""[s] The period compared and drawn: the ten minutes of a WMO mean."""


def block_of(seconds: float) -> int:
    """The beginning of the block that a time lies in."""
    return int(seconds // BLOCK) * BLOCK


def blocks(begins_at: float, ends_at: float) -> Iterator[int]:
    """The blocks that touch ``begins_at`` .. ``ends_at`` (both included)."""
    return iter(range(block_of(begins_at), int(ends_at) + 1, BLOCK))
