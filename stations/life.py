"""A station's life: which state may follow which, and what each means to its keeper.

Whether a station counts in its village is the steward's to say; here is only what its keeper may do alone.
"""

from django.utils import timezone

from stations.models import Station

State = Station.State

MEANING = {
    State.DRAFT: "Not finished: only its keepers and the steward see it.",
    State.AWAITING: "Sent for approval: the steward looks at it next.",
    State.LIVE: "Live: its readings count in the village.",
    State.PAUSED: "Paused: it may report, but its readings do not count for now.",
    State.RETIRED: "Retired: it reports no longer; its record stays.",
}

ALONE = {
    (State.DRAFT, State.AWAITING): "Send it for approval",
    (State.AWAITING, State.DRAFT): "Take it back to change it",
    (State.AWAITING, State.PAUSED): "Leave it paused after all",
    (State.PAUSED, State.AWAITING): "Ask for it to count again",
    (State.DRAFT, State.RETIRED): "Give it up",
}
"""What a keeper may do without touching what counts, and the words on the button."""

STOPS = {
    (State.LIVE, State.PAUSED): "Pause it",
    (State.LIVE, State.RETIRED): "Retire it",
    (State.PAUSED, State.RETIRED): "Retire it",
}
"""What a keeper may do too, but which ends its counting, so it is written down like a decision of the steward."""


class NotNow(ValueError):
    """The station may not go that way; the sentence says why."""


def counted(station: Station) -> bool:
    """Whether its readings count in the village, or once did: then its past must stay as it was."""
    return station.counts_from is not None


def ways(station: Station) -> dict[str, str]:
    """The states its keeper may bring it to, with the words on each button."""
    return {to: words for (state, to), words in (ALONE | STOPS).items() if _open(station, state, to)}


def move(station: Station, to: str) -> None:
    """Bring a station into another state. Raises NotNow where that is not the keeper's to do alone."""
    if (station.state, to) not in ALONE or not _open(station, station.state, to):
        raise NotNow(
            f"'{station.name}' is {station.get_state_display()}: from there it cannot become "
            f"{_words(to)} this way. Its village's steward can help."
        )
    same = Station.objects.filter(pk=station.pk, state=station.state)
    if not same.update(state=to):  # past save(): no reading has to be understood anew
        raise NotNow(f"'{station.name}' has just changed. Look at the page again.")
    station.state = to
    if to == State.RETIRED:
        station.keys.filter(revoked_at=None).update(revoked_at=timezone.now())


def _open(station: Station, state: str, to: str) -> bool:
    if station.state != state:
        return False
    if state == State.AWAITING:  # back to where it came from: a station that counted once was paused
        return (to == State.PAUSED) == counted(station)
    return True


def _words(state: str) -> str:
    return State(state).label if state in State.values else f"'{state}'"
