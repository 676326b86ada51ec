"""Stage: what the days before a spell teach of each variable's field, for the maps of the spell."""

from collections.abc import Callable, Iterator

import numpy as np

from network.models import FieldFit
from network.models.storage import Floats
from network.pipeline.ledger import blocks, work
from network.pipeline.maps.fits import parts_of, parts_of_day, row_of
from network.pipeline.maps.ground import covered
from network.pipeline.maps.readings import WIND, readings
from network.pipeline.neighbours.frames import Frames, frames
from network.pipeline.neighbours.scorecard import errors_in_maps, kept
from network.science.variables import MAPPED, VARIABLES
from network.spatial import rain, wind
from network.spatial.field import Field
from network.spatial.learnt import Learnt
from network.spatial.learnt import learn as learn_values
from network.spatial.patterns import Times, patterns
from network.spatial.prior import Prior
from network.spatial.sites import Sites
from network.spatial.village import LEAST
from stations.models import Village

FEWEST_DAYS = 3
"""Days (or nights, or days with rain) from which to learn: one is no more than one weather."""

MOST_PATTERNS = 4
"""Sets of stations listened to, the commonest first: each costs a factorisation at every step of the fit."""


def learn(village_id: int, spell: int) -> Callable[[], None]:
    """Pool the trusted frames of the days before the spell, each variable and part of the day apart."""
    village = Village.objects.get(pk=village_id)
    seen = frames(village, spell - blocks.SPELL, spell)
    new = list(_learnt(seen, spell)) if seen.places else []
    return work.then(_keep, village_id, spell, new)


def _keep(village_id: int, spell: int, new: list[FieldFit]) -> None:
    """Hold what was learnt, and let the maps of the spell be drawn anew where that changed."""
    old = FieldFit.objects.filter(village=village_id, begins_at=spell)
    if {_content(one) for one in old} != {_content(one) for one in new}:
        old.delete()
        FieldFit.objects.bulk_create(new)
        work.mark_maps(village_id, spell, spell + blocks.SPELL - 1)


def _content(one: FieldFit) -> str:
    return repr([getattr(one, field.attname) for field in FieldFit._meta.concrete_fields])


def _learnt(seen: Frames, spell: int) -> Iterator[FieldFit]:
    of_day, sites = parts_of_day(seen.at, seen.village), covered(seen.village, seen.sites)
    scored = kept({place.station for place in seen.places}, spell)
    for name in MAPPED:
        values, parts = readings(seen, name), parts_of(name, of_day)
        noise = errors_in_maps(seen.places, name, scored)
        for part in np.unique(parts).tolist():
            times = _telling(name, values, np.flatnonzero(parts == part))
            if len(np.unique((seen.at[times] - 1) // blocks.DAY)) >= FEWEST_DAYS:
                found = _of_variable(name, sites, noise, values[:, :, times])
                yield row_of(seen.village, name, part, spell, found, len(times))


def _telling(variable: str, values: Floats, times: Times) -> Times:
    """Those of the times that teach something, from the commonest sets of stations that speak."""
    if VARIABLES[variable].summary == "sum":
        times = times[(values[0][:, times] > 0).sum(axis=0) >= LEAST]
    spoken = np.isfinite(values[:, :, times]).all(axis=0)
    sets = [(mask.sum() * len(which), which) for mask, which in patterns(spoken) if mask.sum() >= LEAST]
    best = sorted(sets, key=lambda one: (-one[0], one[1][0]))[:MOST_PATTERNS]
    return times[np.sort(np.concatenate([which for _, which in best]))] if best else times[:0]


def _of_variable(name: str, sites: Sites, noise: Floats, values: Floats) -> Learnt:
    entry = VARIABLES[name]
    assert entry.field is not None, "only variables with a field are mapped"
    if name == WIND:
        return wind.learn(sites, noise, values[0], values[1], Field.of(entry.field))
    from_values = rain.learn if entry.summary == "sum" else learn_values
    return from_values(sites, noise, values[0], Prior.of(entry.field))
