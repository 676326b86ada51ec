"""Everything again from reports, metadata and decisions: the proof that nothing else is needed."""

from django.db import transaction

from network.models import (
    Case,
    Comparison,
    Evidence,
    FieldFit,
    Finding,
    Observation,
    Report,
    Score,
    Skyline,
    Summary,
    VillageMap,
    Work,
)
from network.pipeline.ledger import work
from network.pipeline.metadata.spoken import spans
from stations.models import Village

MADE = (Observation, Evidence, Finding, Score, Skyline, Comparison, Summary, Case)
"""What can be made again, of tables that belong to a station."""


@transaction.atomic
def forget(village: Village) -> None:
    """Drop all that was computed for a village and mark it to be computed anew."""
    for model in MADE:
        model.objects.filter(station__household__village=village).delete()
    for model in (VillageMap, FieldFit):
        model.objects.filter(village=village).delete()
    Work.objects.filter(village=village).delete()
    for first, last in spans(Report.objects.filter(station__household__village=village)):
        work.mark_reports(village.pk, first, last - 1)
