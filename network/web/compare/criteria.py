"""By what rules a comparison was made, and by whose readings."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from network.pipeline.records.side_by_side import SideBySide
from network.web.sentences import listed


def criteria(compared: SideBySide) -> Iterator[str]:
    """How the occasions were told, and how sure the figures are, in sentences; none where nothing was compared."""
    first = next((pair for pair in compared.pairs if pair.hours), None)
    if first and first.nights:
        yield from _occasions(compared)
    if first and first.rain:
        yield _(
            "A day is wet from 1 mm at either gauge on (climatological practice), and counts where both gauges have two thirds of its hours. The interval is that of a ratio of totals (Cochran 1977); only what a sign test over the days bears out too is said of the place (Conover 1999)."
        )
    elif first:
        yield _("The interval of a mean counts how long differences last (Wilks 2011).")


def _occasions(compared: SideBySide) -> Iterator[str]:
    around = compared.setting
    yield _(
        "A night counts as clear up to midnight where the afternoon before had at least three quarters of a clear sky’s light, and from midnight where the morning after had (Haurwitz 1945 for the clear sky, with the sun above 10°; the rest common practice)."
    )
    if around.light_by:
        yield _("Each hour’s light is that of the brightest of {stations}.").format(
            stations=listed(around.light_by)
        )
    yield _("It counts as calm below 3 m/s at ten metres, the wind of the stablest nights (Pasquill 1961).")
    if around.wind_by:
        yield _("The wind is that of {stations}, brought to ten metres as over open ground.").format(
            stations=listed(around.wind_by)
        )
    yield _("A sunny afternoon had that light from noon by the sun until the sun stood below 10°.")
    yield _(
        "A difference is told where a sign test finds it rarer by chance than one in twenty (Conover 1999), and laid to the place only where a rank test finds it unlike other nights or afternoons (Mann and Whitney 1947)."
    )
