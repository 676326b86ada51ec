"""Which map answers for a moment, or the sentence that says why none does."""

import time

import numpy as np

from network.models import VillageMap, Work
from network.pipeline.ledger import blocks
from network.pipeline.maps.wind import vectors_at_ten_metres
from network.pipeline.neighbours.frames import Use, frames
from network.science.variables import VARIABLES
from network.spatial.village import LEAST, TooFew
from network.web.api import told
from network.web.refusals import Refused
from stations.models import Village

NOW = blocks.HOUR
"""[s] The newest map speaks for now while it is no older than this."""


def drawn(village: Village, variable: str, at: int | None) -> VillageMap:
    """The map of the ten minutes that ``at`` lies in, or the newest of the last hour. Raises Refused."""
    maps = VillageMap.objects.filter(village=village, variable=variable)
    now = time.time()
    if at is None:
        newest = maps.filter(at__gt=now - NOW, at__lte=now).order_by("-at").first()
        return newest or _refuse(village, variable, int(now // blocks.FRAME) * blocks.FRAME)
    end = -(-at // blocks.FRAME) * blocks.FRAME
    if end > now:
        raise Refused(
            404,
            f"The ten minutes up to {told.moment(end, village.clock)} are not over yet.",
            "Leave 'at' out for the newest map.",
        )
    return maps.filter(at=end).first() or _refuse(village, variable, end)


def _refuse(village: Village, variable: str, end: int) -> VillageMap:
    """Say what is missing for a map of the ten minutes up to ``end``."""
    trusted = _trusted(village, variable, end)
    block = blocks.block_of(end - 1)
    waiting = Work.objects.filter(village=village, stage__lte=Work.Stage.MAP, block=block).exists()
    if waiting or trusted >= LEAST:
        raise Refused(404, "This map is still being worked out.", "Ask again in a minute.")
    raise Refused(
        404,
        f"No map for {told.moment(end, village.clock)}. {TooFew(VARIABLES[variable].words, trusted)}",
        "Ask for another time; /api/stations/<id>/evidence says why a station is not trusted.",
    )


def _trusted(village: Village, variable: str, end: int) -> int:
    """How many stations a map of the ten minutes could stand on."""
    seen = frames(village, end - blocks.FRAME, end)
    if not seen.places:
        return 0
    if variable == "wind_speed":
        values = np.stack(vectors_at_ten_metres(seen)).sum(axis=0)
    else:
        values = seen.values(variable, Use.DRAWN)
    return int(np.isfinite(values).sum())
