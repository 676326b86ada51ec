"""The words under a map: how sure it is, on whom it stands, and what is missing where there is none."""

from datetime import datetime

import numpy as np
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from network.models import VillageMap
from network.models.storage import Floats
from network.science.variables import VARIABLES
from network.spatial.village import LEAST
from network.web.quantities import (
    difference,
    difference_unit,
    hour,
    in_shown_unit,
    sign_of,
    unit_in_words,
    words_of,
)
from network.web.village_now import VillageNow


def map_title(variable: str, at: datetime) -> str:
    """'Air temperature at 14:20 in degrees Celsius'."""
    return title(variable, hour(at))


def title(variable: str, time: str) -> str:
    """The same with a time that is written already."""
    said = _("{what} at {time} in {unit}")
    return said.format(what=capfirst(words_of(variable)), time=time, unit=unit_words(variable))


def unit_words(variable: str) -> str:
    """The unit of a map's figures, and the time they are of where it is not the frame's."""
    words = unit_in_words(variable)
    return _("{unit} of the last hour").format(unit=words) if VARIABLES[variable].summary == "sum" else words


def shown_difference(variable: str, values: Floats) -> Floats:
    """Differences of values [canonical unit] in the reader's unit, where the zero of a scale does not matter."""
    return in_shown_unit(variable, values) - in_shown_unit(variable, 0.0)


def doubt_words(shape: tuple[int, int], variable: str, error: Floats) -> str:
    """How sure a map is, in the middle and at its edges, from its standard errors (g,) [canonical unit]."""
    cells = error.reshape(shape)
    rows, columns = (length // 3 for length in shape)
    middle = float(np.median(cells[rows:-rows, columns:-columns]))
    rim = float(np.median(np.concatenate([cells[0], cells[-1], cells[:, 0], cells[:, -1]])))
    near, far = difference(variable, middle), difference(variable, rim)
    if near == far:
        return _("About ±{near} everywhere").format(near=near)
    far = far.removesuffix(sign_of(difference_unit(variable))).rstrip()
    return _("About ±{near} in the middle, ±{far} at the edges").format(near=near, far=far)


def standing_words(now: VillageNow, kept: VillageMap) -> str:
    """How many stations it stands on, and who is left out and why.

    A map is for everybody's eyes, so a station takes no part in it while its household shows no place.
    """
    unseen = {place.station for place in now.seen.places if place.shown_at is None}
    hidden = sum(station in unseen for station, *_ in kept.used)
    used = _("{count} stations used").format(count=len(kept.used) - hidden)
    out = [f"{now.stations[pk].name}: {_(why)}" for pk, why in kept.left_out if pk in now.stations]
    left = (
        _("{count} left out ({whom})").format(count=len(out), whom=", ".join(out))
        if out
        else _("none left out")
    )
    if not hidden:
        return f"{used}, {left}"
    keeps = ngettext(
        "{count} more keeps its place to itself", "{count} more keep their places to themselves", hidden
    ).format(count=hidden)
    return f"{used}, {left}; {keeps}"


def trusted(now: VillageNow, variable: str) -> list[int]:
    """How many stations a map could stand on in each frame of the span, were there none: fewer than it takes."""
    frames = np.array(list(now.matrix(variable, trusted=True).values())).reshape(-1, len(now.seen.at))
    spoke = np.isfinite(frames).sum(axis=0)
    return [int(count) for count in np.minimum(spoke, LEAST - 1)]
