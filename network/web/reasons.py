"""Why a reading is doubted: what was noted about it, in sentences, with what its keeper can do."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from network.models import Case, Evidence
from network.pipeline.verdicts.steward import MAINTAINED, STEWARD
from network.quality.checks import CHECKS, check_named
from network.quality.explanation import typeset
from network.quality.verdict import DERIVED_FROM, VERDICT_WORDS, reasons_of, verdict_of
from network.web.phrases import phrase
from network.web.quantities import amount, difference, words_of


@dataclass(frozen=True)
class Why:
    """One check's word on a reading."""

    sentence: str
    advice: str


def verdict_words(mark: int) -> tuple[str, str]:
    """The verdict's name, which is also its mark's class, and the words to put beside it."""
    name = VERDICT_WORDS[int(verdict_of(mark))]
    return name, _({"unchecked": "not yet checked", "missing": "no report"}.get(name, name))


def noted(station: int, begins_at: int, ends_at: int) -> list[Evidence]:
    """All evidence that touches a span [UTC epoch s]."""
    touching = Evidence.objects.filter(station=station, begins_at__lte=ends_at, ends_at__gte=begins_at)
    # A check that was given up leaves its rows until the next rebuild.
    return list(touching.filter(check_name__in=CHECKS).order_by("-strain"))


def whys(variable: str, mark: int, at: int, evidence: Iterable[Evidence]) -> list[Why]:
    """The reasons behind a mark: those about the variable itself, or which variable it was made from has some."""
    if mark & MAINTAINED:
        return [Why(_("Somebody was at work on the station at the time."), "")]
    if mark & STEWARD:
        return [Why(_("A steward looked at this reading and decided."), "")]
    spoke = reasons_of(mark)
    then = [one for one in evidence if one.begins_at <= at <= one.ends_at and one.check_name in spoke]
    own = {one.check_name: one for one in reversed(then) if one.variable == variable}
    if own:
        return [Why(sentence(one), advice(one.check_name)) for one in reversed(own.values())]
    parents = [name for name in DERIVED_FROM.get(variable, ()) if any(one.variable == name for one in then)]
    return [Why(_("It follows from the {variable}.").format(variable=words_of(name)), "") for name in parents]


def sentence(kept: Evidence | Case) -> str:
    """What a check saw, from the figures that were kept, in the reader's language and units."""
    variable = kept.seen_in if isinstance(kept, Case) else kept.variable
    observed, expected, tolerance = (
        np.nan if one is None else one for one in (kept.observed, kept.expected, kept.tolerance)
    )
    said = _(check_named(kept.check_name).meaning).format(
        variable=words_of(variable),
        observed=amount(variable, observed),
        expected=amount(variable, expected),
        tolerance=difference(variable, tolerance),
        low=amount(variable, expected - tolerance),
        high=amount(variable, expected + tolerance),
        size=difference(variable, observed - expected),
        hint=phrase(kept.hint) or _("in another unit"),
    )
    return capfirst(typeset(said))


def advice(check: str) -> str:
    """What its keeper can do about what a check of that name saw."""
    return _(check_named(check).advice)
