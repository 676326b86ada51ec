"""How time is cut: blocks are what is computed at once, frames are what is compared and drawn."""

from collections.abc import Iterator

MINUTE = 60
HOUR = 3600
DAY = 86400

BLOCK = DAY
"""[s] The unit of work: long against what the checks look back and ahead, which is looked at again for each.
Changing it changes where evidence is cut: rebuild afterwards."""

CONTEXT = 24 * HOUR
"""[s] How far back the checks look from a block's beginning."""

AHEAD = 6 * HOUR
"""[s] How far past a block's end they look: a stuck value shows itself only later."""

SPELL = 10 * DAY
"""[s] The long run's unit of work; and for so long maps are made by what the spell before has taught."""

BEHIND, BEYOND = 20 * DAY, 10 * DAY
"""[s] How far before and past a spell the long run looks: a drift shows itself only after many days."""

SLOT = 5 * MINUTE
"""[s] Readings within one slot count as simultaneous."""

FRAME = 10 * MINUTE
"""[s] The period compared and drawn: the ten minutes of a WMO mean."""


def block_of(seconds: float) -> int:
    """The beginning of the block that a time lies in."""
    return int(seconds // BLOCK) * BLOCK


def spells(begins_at: float, ends_at: float) -> Iterator[int]:
    """The spells whose long run looks at times between ``begins_at`` and ``ends_at``."""
    first = int((begins_at - BEYOND) // SPELL - 1) * SPELL
    return iter(range(first, int(ends_at + BEHIND) + 1, SPELL))


def spells_after(begins_at: float, ends_at: float) -> Iterator[int]:
    """The spells whose maps stand on what is learnt from times between ``begins_at`` and ``ends_at``."""
    return iter(range(int(begins_at // SPELL + 1) * SPELL, int(ends_at // SPELL + 1) * SPELL + 1, SPELL))


def blocks(begins_at: float, ends_at: float) -> Iterator[int]:
    """The blocks that touch ``begins_at`` .. ``ends_at`` (both included)."""
    return iter(range(block_of(begins_at), int(ends_at) + 1, BLOCK))
