"""Stage: what only weeks of a station show, held against the readings by the check of each block afterwards.

Stored departures do not depend on what is found here (``Use.COMPARED``), so that a look back settles at once.
"""

from collections.abc import Callable

from network.models import Finding, Score, Skyline
from network.pipeline.ledger import blocks, work
from network.pipeline.neighbours.blame import blamed
from network.pipeline.neighbours.scorecard import keep_scores, row_of
from network.pipeline.neighbours.skylines import keep_skylines, skylines
from network.pipeline.neighbours.weeks import records
from network.pipeline.verdicts import findings
from network.quality.lasting import lasting
from network.quality.scorecard import card
from stations.models import Station, Village


def look_back(village_id: int, spell: int) -> Callable[[], None]:
    """Look at each station over the weeks around the spell."""
    village = Village.objects.get(pk=village_id)
    begins_at, ends_at = spell - blocks.BEHIND, spell + blocks.SPELL + blocks.BEYOND
    seen, found = blamed(village, records(village, begins_at, ends_at))
    before = findings.found_until({record.station for record in seen}, spell)
    rows = [
        row
        for record, own in zip(seen, found, strict=True)
        for one in (*own, *lasting(record, own, before.get(record.station, ()), spell))
        if (row := findings.row_of(record.station, spell, one)) is not None
    ]
    scores = [row_of(one, spell) for one in card(seen, begins_at, spell + blocks.SPELL)]
    stations = list(Station.objects.of(village).values_list("pk", flat=True))
    return work.then(_keep, village_id, spell, stations, rows, scores, skylines(seen, spell))


def _keep(
    village_id: int,
    spell: int,
    stations: list[int],
    found: list[Finding],
    scores: list[Score],
    horizons: list[Skyline],
) -> None:
    findings.keep(village_id, spell, stations, found)
    keep_scores(village_id, spell, stations, scores)
    keep_skylines(spell, stations, horizons)
