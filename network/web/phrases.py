"""What the lower rooms composed in English, told in the reader's language by the sentence it was made from."""

import re
from collections.abc import Iterator
from functools import cache
from string import Formatter

from django.utils import translation
from django.utils.translation import gettext as _

from network.web.vocabulary import PHRASES

_FIGURE = re.compile(r"[+−-]?\d+\.\d+\b")


def phrase(text: str) -> str:
    """The text itself where it is known, else by the first of PHRASES that it fits, its parts told likewise.

    What fits none stays as it came, but for the decimal sign: somebody's own words are nobody's to translate.
    """
    if not text or translation.get_language() in (None, "en-gb"):
        return text
    known = _(text)
    if known != text:
        return known
    for template, pattern in _patterns():
        if found := pattern.fullmatch(text):
            return _(template).format(**{name: phrase(part) for name, part in found.groupdict().items()})
    return _FIGURE.sub(lambda figure: figure.group().replace(".", ","), text)


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple((template, re.compile("".join(_parts(template)))) for template in PHRASES)


def _parts(template: str) -> Iterator[str]:
    for literal, name, *_rest in Formatter().parse(template):
        yield re.escape(literal) + (f"(?P<{name}>.+?)" if name else "")
