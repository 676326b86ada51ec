"""The words under a map: how sure it is, on whom it stands, and what is missing where there is none."""

from datetime import datetime

import numpy as np
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from network.models import VillageMap
from network.models.storage import Floats
from network.science.variables import VARIABLES
from network.spatial.learnt import METHODS
from network.spatial.village import LEAST
from network.web.quantities import (
    decimals_of,
    difference,
    difference_unit,
    hour,
    in_difference_unit,
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
    # Nobody knows the weather to ±0.0: what rounds to it is less than the last figure shown.
    below, nothing = near == difference(variable, 0.0), _least(variable)
    if near == far:
        everywhere = _("Less than ±{near} everywhere") if below else _("About ±{near} everywhere")
        return everywhere.format(near=nothing if below else near)
    far = far.removesuffix(sign_of(difference_unit(variable))).rstrip()
    if below:
        return _("Less than ±{near} in the middle, ±{far} at the edges").format(near=nothing, far=far)
    return _("About ±{near} in the middle, ±{far} at the edges").format(near=near, far=far)


def _least(variable: str) -> str:
    """The least difference that figures show: '0.1 mm'."""
    return difference(variable, 10.0 ** -decimals_of(variable) / in_difference_unit(variable, 1.0))


def standing_words(now: VillageNow, kept: VillageMap) -> str:
    """How many stations it stands on, who is left out and why, and by what it is drawn where that is plainer.

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
    said = [f"{used}, {left}"]
    if hidden:
        keeps = ngettext(
            "{count} more keeps its place to itself", "{count} more keep their places to themselves", hidden
        )
        said.append(keeps.format(count=hidden))
    if kept.method != METHODS[0]:
        said.append(_("drawn by {method}, which is plainer and serves as well").format(method=_(kept.method)))
    return "; ".join(said)


def trusted(now: VillageNow, variable: str) -> list[int]:
    """How many stations a map could stand on in each frame of the span, were there none: fewer than it takes."""
    frames = np.array(list(now.matrix(variable, trusted=True).values())).reshape(-1, len(now.seen.at))
    spoke = np.isfinite(frames).sum(axis=0)
    return [int(count) for count in np.minimum(spoke, LEAST - 1)]
