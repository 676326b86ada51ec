"""Names a device uses that no channel of its station bears: told in the very answer, before anyone looks at a page."""

from collections.abc import Iterable

from django.core.cache import caches

from network.wire.said import few, quoted
from stations.likeness import bears, perhaps
from stations.models import Channel

REMEMBERED = 60
"""[s] For so long a renamed channel may still pass under its old name, without a question for each report."""


def strangers(station: int, names: Iterable[str]) -> list[str]:
    """A sentence for each name that is kept and not used, with the channel that was perhaps meant."""
    said = sorted(set(names))
    known: frozenset[str] | None = caches["near"].get(f"channels:{station}")
    if known is None or not all(bears(name, known) for name in said):
        known = frozenset(Channel.objects.current().filter(station=station).values_list("name", flat=True))
        caches["near"].set(f"channels:{station}", known, REMEMBERED)
    silent = known.difference(said)  # what is said besides was hardly meant
    return few([_sentence(name, known, silent) for name in said if not bears(name, known)])


def _sentence(name: str, known: frozenset[str], silent: frozenset[str]) -> str:
    sentence = f"{quoted(name)} is not a channel of this station: it is kept, and not used."
    meant = perhaps(name, silent)
    if meant:
        return f"{sentence} Did you mean {quoted(meant)}?"
    if not known:
        return f"{sentence} No channel is described yet."
    return f"{sentence} Its channels are {', '.join(sorted(known)[:20])}."
