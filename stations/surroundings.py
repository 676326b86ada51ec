"""What was answered about the surroundings of an instrument, question by question, and what it comes to."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import Any

from django.db import transaction

from network.science.siting import DIRECTIONS, FAMILIES, Assessment, Obstacle, Surroundings, assess, family_of
from stations.models import Placement, SitingDraft, SitingNote, Station

Answers = Mapping[str, Mapping[str, Any]]

_GROWTH = {"short": 0.05, "knee": 0.2, "tall": 0.5, "stone": inf}
"""[m] A height within each of the guide's bounds."""

_SLOPE = {"level": 5.0, "steep": 25.0, "very": 35.0}
"""[deg]"""

_HEIGHTS = ("height", "rim", "mast")
"""Questions that ask how high an instrument is."""

_SHIELDS = {"louvre": "screen", "fan": "fan"}
"""Parts of what an instrument's shield is called, and which answer that is."""

_SHARED = ("slope", "around")
"""Questions whose answers are offered again for the station's other instruments."""


@dataclass(frozen=True)
class Answered:
    """A variable's answers, and whether they are written down."""

    answers: Answers
    draft: bool

    def assessment(self, variable: str, place: Placement) -> Assessment | None:
        """The class that follows; None where nothing is answered or the guide has no classes."""
        if not self.answers or not family_of(variable):
            return None
        return assess(variable, surroundings(self.answers, place.latitude))


def surroundings(answers: Answers, latitude: float) -> Surroundings:
    """The answers as the rules want them."""
    said = {name: answers.get(name, {}) for name in ("ground", "slope", "shade", "bright", "rim", "land")}
    shade = said["shade"].get("shade")
    share = said["shade"].get("share")
    bright, rough = said["bright"].get("bright"), said["land"].get("roughness")
    return Surroundings(
        latitude=latitude,
        height=_height(answers),
        slope=_SLOPE.get(said["slope"].get("slope", "")),
        growth=_GROWTH.get(said["ground"].get("ground", "")),
        warm=dict(answers["near"]) if "near" in answers else None,
        shares={
            int(name.rpartition("_")[2]): share / 100 for name, share in answers.get("cover", {}).items()
        },
        obstacles=_obstacles(answers["around"]) if "around" in answers else None,
        shade=float(shade) if shade else None,
        shaded_share=float(share) if share else None,
        bright=int(bright) if bright else None,
        gauge_shelter=said["rim"].get("shelter"),
        roughness=float(rough) if rough else None,
        narrow=_narrow(answers.get("narrow", {})),
    )


def answered(place: Placement, variable: str) -> Answered:
    """What is known of a variable's surroundings: the draft, else the newest note, else what others here share."""
    drafts = {each.variable: each.answers for each in place.siting_drafts.all()}
    if (draft := drafts.get(lead(variable))) is not None:
        return Answered(draft, draft=True)
    notes = [note for note in place.siting_notes.all() if note.variable == variable and note.answers]
    if notes:
        return Answered(notes[-1].answers, draft=False)
    return Answered({}, draft=False)


def offered(place: Placement, station: Station, variable: str) -> Answers:
    """What is known from elsewhere: the instrument's height and shield, and answers given for another one here."""
    told: dict[str, dict[str, Any]] = {}
    for instrument in station.instruments.all():
        if instrument.variable == variable and instrument.ends_at is None and instrument.height is not None:
            told = {name: {"height": instrument.height} for name in _HEIGHTS}
            kinds = [kind for part, kind in _SHIELDS.items() if part in instrument.shield]
            told["height"] |= {"shield": kinds[0]} if kinds else {}
    for each in [*place.siting_notes.all(), *place.siting_drafts.all()]:
        told |= {name: dict(each.answers[name]) for name in _SHARED if name in each.answers}
    return told


def keep(place: Placement, variable: str, question: str, answer: Mapping[str, Any]) -> None:
    """Save one answer; what is written down stays as it was until it is written down anew."""
    answers = dict(answered(place, variable).answers)
    answers[question] = dict(answer)
    SitingDraft.objects.update_or_create(
        placement=place, variable=lead(variable), defaults={"answers": answers}
    )


@transaction.atomic
def write(place: Placement, variables: list[str], words: str, written_at: Any, by: Any) -> None:
    """Write the answers down as a dated note of each variable; the draft has served."""
    known = answered(place, variables[0])
    found = known.assessment(variables[0], place)
    for variable in variables:
        before = [note for note in place.siting_notes.all() if note.variable == variable]
        carried = before[-1].siting_class if before and not found else None
        note = SitingNote(
            placement=place,
            variable=variable,
            siting_class=found.siting_class if found else carried,
            words=words,
            answers=known.answers,
            written_at=written_at,
            written_by=by,
        )
        note.full_clean()
        note.save()
    _tell_heights(place, variables, _height(known.answers))
    place.siting_drafts.filter(variable=lead(variables[0])).delete()


def lead(variable: str) -> str:
    """The first of the variables that stand under the same rules."""
    family = family_of(variable)
    return FAMILIES[family].variables[0] if family else variable


def _tell_heights(place: Placement, variables: list[str], height: float | None) -> None:
    """Where an instrument's height was never noted, it is what was measured now."""
    unknown = place.station.instruments.filter(variable__in=variables, height=None, ends_at=None)
    for instrument in unknown if height is not None else ():
        instrument.height = height
        instrument.save()


def _height(answers: Answers) -> float | None:
    told = (answers.get(name, {}).get("height") for name in _HEIGHTS)
    return next((height for height in told if height is not None), None)


def _obstacles(around: Mapping[str, Any]) -> tuple[Obstacle, ...]:
    return tuple(
        Obstacle(
            name, around[f"{name}_distance"], around[f"{name}_height"], around.get(f"{name}_kind") == "tree"
        )
        for name in DIRECTIONS
        if f"{name}_distance" in around and f"{name}_height" in around
    )


def _narrow(said: Mapping[str, Any]) -> float | None:
    if said.get("there") == "no":
        return inf
    if said.get("there") == "yes" and "distance" in said and "width" in said:
        return float(said["distance"] / said["width"])
    return None
