"""Everything again from reports, metadata and decisions: the proof that nothing else is needed."""

from django.db import transaction
from django.db.models import Max, Min

from network.models import Case, Comparison, Evidence, Observation, Report, Summary, VillageMap, Work
from network.pipeline import work
from stations.models import Village

MADE = (Observation, Evidence, Comparison, Summary, Case)
"""What can be made again, of tables that belong to a station."""


@transaction.atomic
def forget(village: Village) -> None:
    """Drop all that was computed for a village and mark it to be computed anew."""
    for model in MADE:
        model.objects.filter(station__household__village=village).delete()
    VillageMap.objects.filter(village=village).delete()
    Work.objects.filter(village=village).delete()
    spoken = Report.objects.filter(station__household__village=village, problem="")
    span = spoken.aggregate(first=Min("first_at"), last=Max("last_at"))
    if span["first"] is not None:
        half_a_day = 43200  # a clock may be that far off
        work.mark_reports(village.pk, span["first"] - half_a_day, span["last"] + half_a_day)
