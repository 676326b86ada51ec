"""What a village's page does not believe, and of whom it has heard nothing newer, in sentences."""

from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from network.web.sentences import Seen, listed, since
from network.web.set_words import NOT_BELIEVED


def belief(seen: Seen) -> list[str]:
    """Which stations are not believed, and from which nothing newer is known: their clocks may be slow."""
    said = []
    if seen.doubted:
        whom = ", ".join(
            f"{name} ({listed([_(word) for word in what])})" for name, what in seen.doubted.items()
        )
        some = len(seen.doubted)
        if seen.present:
            text = ngettext(
                "{some} of {whole} is not believed just now: {whom}.",
                "{some} of {whole} are not believed just now: {whom}.",
                some,
            )
        else:
            text = ngettext(
                "{some} of {whole} was not believed: {whom}.",
                "{some} of {whole} were not believed: {whom}.",
                some,
            )
        said.append(text.format(some=_count(some).capitalize(), whole=_stations(seen.stations), whom=whom))
    for last in sorted(set(seen.silent.values()), key=str):
        names = [name for name, heard in seen.silent.items() if heard == last]
        said.append(_last_heard(names, last, seen))
    return said


def _last_heard(names: list[str], last: datetime | None, seen: Seen) -> str:
    count, whom = len(names), listed(names)
    if last is None:
        if seen.present:
            text = ngettext(
                "The last reading of {whom} is a day old or older.",
                "The last readings of {whom} are a day old or older.",
                count,
            )
        else:
            text = ngettext(
                "The last reading of {whom} was a day old or older.",
                "The last readings of {whom} were a day old or older.",
                count,
            )
        return text.format(whom=whom)
    if seen.present:
        text = ngettext(
            "The last reading of {whom} is of {time}.", "The last readings of {whom} are of {time}.", count
        )
    else:
        text = ngettext(
            "The last reading of {whom} was of {time}.", "The last readings of {whom} were of {time}.", count
        )
    return text.format(whom=whom, time=since(last, seen.at))


def _count(some: int) -> str:
    return _(NOT_BELIEVED[some]) if some < len(NOT_BELIEVED) else str(some)


def _stations(count: int) -> str:
    return ngettext("{count} station", "{count} stations", count).format(count=_count(count))
