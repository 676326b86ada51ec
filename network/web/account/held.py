"""What the hub holds about one person, to be taken away: plain names, times in UTC, nothing of other people's."""

from collections.abc import Iterator
from typing import Any

from axes.models import AccessAttempt, AccessFailureLog, AccessLog

from network.models import Answer, Decision, Notice
from stations.models import Calibration, Household, Invitation, Photo, SitingNote, Station

Held = dict[str, Any]


def held_about(person: Any) -> Held:
    """All of it, ready to be written as JSON."""
    name = person.get_username()
    return {
        "account": {
            "name": name,
            "email": person.email,
            "given_names": person.get_full_name(),
            "opened_at": person.date_joined,
            "last_signed_in_at": person.last_login,
            "runs_the_hub": person.is_superuser,
            "password": "kept only as a hash, from which it cannot be read",
        },
        "households": [_household(one.household, one.role) for one in _memberships(person)],
        "invitations_made": list(_invitations(Invitation.objects.filter(made_by=person))),
        "invitations_to_your_address": list(
            _invitations(Invitation.objects.filter(email__iexact=person.email) if person.email else [])
        ),
        "visits": _visits(name),
        "siting_notes_written": [
            {
                "station": str(one.placement.station),
                "variable": one.variable,
                "at": one.written_at,
                "words": one.words,
            }
            for one in SitingNote.objects.filter(written_by=person).select_related("placement__station")
        ],
        "photos_added": [
            {"station": str(one.placement.station), "at": one.added_at, "words": one.words}
            for one in Photo.objects.filter(added_by=person)
            .select_related("placement__station")
            .defer("jpeg")
        ],
        "calibrations_made": [
            {
                "station": str(one.channel.station),
                "channel": one.channel.name,
                "at": one.made_at,
                "why": one.reason,
            }
            for one in Calibration.objects.filter(made_by=person).select_related("channel__station")
        ],
        "answers_given": [
            {
                "station": one.question.station.name,
                "asked": one.question.reason,
                "at": one.made_at,
                "answer": str(one),
            }
            for one in Answer.objects.filter(made_by=person).select_related("question__station")
        ],
        "decisions_made": list(_decisions(Decision.objects.filter(made_by=person))),
        "decisions_undone": list(_decisions(Decision.objects.filter(undone_by=person))),
        "notices": [
            {"station": one.station.name, "at": one.made_at, "read_at": one.read_at, "words": one.words}
            for one in Notice.objects.filter(station__household__memberships__person=person)
            .select_related("station")
            .distinct()
        ],
        "not_in_this_file": "The readings of your stations: each station's page offers them as CSV, Parquet and netCDF.",
    }


def _memberships(person: Any) -> Any:
    return person.memberships.select_related("household__village").order_by("household__name")


def _household(household: Household, role: str) -> Held:
    stations = household.stations.prefetch_related("placements__photos", "instruments")
    return {
        "name": household.name,
        "village": household.village.name,
        "you_are": role,
        "stations": [_station(one) for one in stations],
    }


def _station(station: Station) -> Held:
    return {
        "name": station.name,
        "state": station.get_state_display(),
        "place_shown_to_others": station.get_shown_display(),
        "made_at": station.made_at,
        "counts_from": station.counts_from,
        "places": [
            {
                "since": one.begins_at,
                "until": one.ends_at,
                "latitude": one.latitude,
                "longitude": one.longitude,
                "elevation_m": one.elevation,
                "photos": len(one.photos.all()),
            }
            for one in station.placements.all()
        ],
        "instruments": [
            {
                "measures": one.variable,
                "principle": one.principle,
                "since": one.begins_at,
                "until": one.ends_at,
            }
            for one in station.instruments.all()
        ],
    }


def _invitations(invitations: Any) -> Iterator[Held]:
    for one in invitations:
        yield {
            "to": one.email,
            "into": str(one.household),
            "as": one.role,
            "made_at": one.made_at,
            "accepted_at": one.accepted_at,
        }


def _visits(name: str) -> list[Held]:
    """Signing in, out, and in vain: when, and from which address."""
    kinds = {"signed in": AccessLog, "failed": AccessFailureLog, "wrong password": AccessAttempt}
    return [
        {"what": what, "at": one.attempt_time, "from": one.ip_address, "browser": one.user_agent}
        for what, visits in kinds.items()
        for one in visits.objects.filter(username=name)
    ]


def _decisions(decisions: Any) -> Iterator[Held]:
    for one in decisions.select_related("station"):
        yield {
            "station": one.station.name,
            "decision": one.get_kind_display(),
            "at": one.made_at,
            "why": one.reason,
            "undone_at": one.undone_at,
        }
