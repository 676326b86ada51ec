"""What a household decides about its stations as a whole: another household takes them on, or their places go."""

from typing import Any

from django.db import transaction
from django.utils import timezone

from network.pipeline.telling import notices
from network.pipeline.verbs import admission
from stations import letters
from stations.models import DeviceKey, Household, Photo, Placement, SitingDraft, SitingNote, Station


@transaction.atomic
def hand_over(station: Station, to: Household, by: Any) -> None:
    """Give a station to another household of its village, which is told; so are those who kept it until now.

    Readings are of a station and not of a household, so nothing is computed again.
    """
    before = station.household
    if to.village_id != before.village_id:
        raise admission.NotPossible(
            "A station stays in its village: another village's maps know nothing of it."
        )
    Station.objects.filter(pk=station.pk).update(
        household=to
    )  # past the signal that would work it all out anew
    station.household = to
    notices.tell(station, f"handed over from {before.pk}", notices.of_hand_over(station, before, by))
    earlier = before.memberships.present().exclude(person=by).exclude(person__memberships__household=to)
    addresses = list(earlier.values_list("person__email", flat=True))
    subject = f"{station.name} now belongs to {to}"
    transaction.on_commit(
        lambda: letters.post(
            addresses, subject, "handed_over", station=station, before=before, by=by.get_username()
        )
    )


@transaction.atomic
def erase(household: Household, by: Any) -> None:
    """Delete the places, photos and siting notes of a household's stations, and retire them.

    What they measured stays as it was worked out while the place was known: rows go past the signals that
    watch metadata, which would work it all out again and lose what needs a height or a position.
    """
    for station in household.stations.select_related("household__village"):
        _retire(station, by)
    placements = Placement.objects.filter(station__household=household)
    for model in (Photo, SitingDraft, SitingNote):
        of_them = model.objects.filter(placement__in=placements)
        of_them._raw_delete(of_them.db)
    placements._raw_delete(placements.db)
    Station.objects.filter(household=household).update(shown=Station.Shown.HIDDEN)


def _retire(station: Station, by: Any) -> None:
    """End its life: by a decision on the trail where it counts, quietly where it never did."""
    if station.state == Station.State.RETIRED:
        return
    if station.counts_from is not None:
        admission.retire(station, by, "Its household asked that its place be deleted.")
        return
    Station.objects.filter(pk=station.pk).update(state=Station.State.RETIRED)
    DeviceKey.objects.filter(station=station, revoked_at=None).update(revoked_at=timezone.now())
