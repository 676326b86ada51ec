"""What every check sees in every reading of a block: alone first, then beside its neighbours and its past weeks."""

from dataclasses import dataclass
from dataclasses import replace as replace_field

import numpy as np

from network.models import Decision, Observation
from network.models.observation import MARKS, VALUES
from network.models.storage import Floats, Rows, read
from network.pipeline.ledger import blocks
from network.pipeline.metadata.stretches import Stretch, sites, stretches
from network.pipeline.verdicts import steward
from network.pipeline.verdicts.findings import found_between
from network.quality import register
from network.quality.evidence import Evidence as Seen
from network.quality.finding import Finding
from network.quality.verdict import weigh_each
from network.quality.window import Window
from network.science.sun import clear_sky_irradiance, solar_position
from network.science.variables import MAPPED, VARIABLES
from network.spatial.field import Field
from network.spatial.neighbours import expected_from_neighbours
from stations.models import Village

Expectations = list[dict[str, tuple[Floats, Floats]]]


@dataclass(frozen=True)
class View:
    """One stretch of one station: its rows in the database and as the checks see them."""

    stretch: Stretch
    rows: Rows
    window: Window
    slot: np.ndarray  # (n,) index of each row on the village's common time axis


@dataclass(frozen=True)
class Judged:
    """A run of blocks and what lies around it, with what every check saw there."""

    stations: set[int]
    rows: Rows
    views: list[View]
    seen: list[
        tuple[dict[str, np.ndarray], list[Seen]]
    ]  # by view: marks from the evidence alone, and the evidence
    decisions: list[Decision]


def judge(village: Village, block: int, about: int | None = None, run: int = 1) -> Judged:
    """Look at every reading of a run of blocks, a day back and some hours ahead; or tell ``about`` one station only."""
    last = block + run * blocks.BLOCK
    begins_at, ends_at = block - blocks.CONTEXT, last + blocks.AHEAD
    places = stretches(village, begins_at, ends_at)
    stations = {place.station for place in places}
    rows = read(Observation, stations, begins_at, ends_at, ("said_twice", *VALUES, *MARKS))
    everybody, slots = _views(village, places, rows)
    views = [view for view in everybody if about in (None, view.stretch.station)]
    decisions = list(Decision.objects.standing().filter(station__in=stations).touching(begins_at, ends_at))
    findings = found_between(stations, block, last)
    seen = _judge_together(village, everybody, len(slots), decisions, findings, about)
    return Judged(stations, rows, views, seen, decisions)


def _views(village: Village, places: list[Stretch], rows: Rows) -> tuple[list[View], np.ndarray]:
    """The stretches that have readings, and the village's common time axis."""
    times = np.unique(rows.at)
    latitude, longitude = village.centre
    elevation, _ = solar_position(times, latitude, longitude) if len(times) else (np.empty(0), None)
    clear = clear_sky_irradiance(elevation)
    slots = np.unique(_slot(times))
    views = []
    for place in places:
        own = rows.of(place.station)
        first, last = np.searchsorted(own.at, [place.begins_at, place.ends_at])
        if last > first:
            part = own.between(first, last)
            index = np.searchsorted(times, part.at)
            window = _window(place, part, elevation[index], clear[index])
            views.append(View(place, part, window, np.searchsorted(slots, _slot(part.at))))
    return views, slots


def _slot(times: np.ndarray) -> np.ndarray:
    """The slot nearest to each time: boards without a clock are some seconds late."""
    return (times + blocks.SLOT // 2) // blocks.SLOT * blocks.SLOT


def _window(place: Stretch, rows: Rows, elevation: Floats, clear_sky: Floats) -> Window:
    said_twice = rows.columns["said_twice"].astype(np.int64)
    measured = [name for name in VALUES if np.isfinite(rows.columns[f"{name}_mark"]).any()]
    return Window(
        station=place.station,
        seconds=rows.at,
        values={name: rows.columns[name] for name in measured},
        elevation=place.elevation,
        latitude=place.latitude,
        longitude=place.longitude,
        report_every=place.report_every,
        ranges=place.ranges,
        resolution=place.resolution,
        noise=place.noise,
        sun_elevation=elevation,
        clear_sky=clear_sky,
        repeated={
            name: (said_twice >> bit & 1).astype(bool)
            for bit, name in enumerate(VALUES)
            if name in measured and (said_twice >> bit & 1).any()
        },
        overrides=place.thresholds,
        battery=place.battery,
    )


def _judge_together(
    village: Village,
    views: list[View],
    slots: int,
    decisions: list[Decision],
    findings: dict[int, list[Finding]],
    about: int | None,
) -> list[tuple[dict, list[Seen]]]:
    """Marks and evidence for each view that is asked about: alone first, then against the neighbours that can be trusted.

    What the long run found has no say in who is trusted: its findings come from these very comparisons.
    """
    alone = [register.look_alone(view.window) for view in views]
    trust = [
        steward.trusted(register.trusted(view.window, seen), view.stretch.station, view.rows.at, decisions)
        for view, seen in zip(views, alone, strict=True)
    ]
    expected, shared = _expect(village, views, trust, slots)
    judged = []
    for view, seen, expects, shares in zip(views, alone, expected, shared, strict=True):
        if about not in (None, view.stretch.station):
            continue
        everything = seen + register.look_at_neighbours(view.window, expects, shares)
        everything += register.look_at_findings(view.window, findings.get(view.stretch.station, []))
        judged.append((weigh_each(view.window, everything), everything))
    return judged


def _expect(
    village: Village, views: list[View], trust: list[dict], slots: int
) -> tuple[Expectations, list[dict[str, Floats]]]:
    """What the trusted neighbours lead one to expect of each view, at its own times, and who departs in company."""
    expects: Expectations = [{} for _ in views]
    shared: list[dict[str, Floats]] = [{} for _ in views]
    if not views:
        return expects, shared
    everywhere = sites([view.stretch for view in views], village)
    for name in MAPPED:
        values = np.full((len(views), slots), np.nan)
        trusted = np.zeros((len(views), slots), bool)
        for i, view in enumerate(views):
            if name in view.window.values:
                values[i, view.slot] = view.window.values[name] / _per_slot(name, view)
                trusted[i, view.slot] = trust[i][name] & view.stretch.counts(view.window.seconds)
        noise, field = _in_one_slot(name, views)
        found = expected_from_neighbours(everywhere, noise, field, values, trusted)
        for i, view in enumerate(views):
            if name in view.window.values:
                scale = _per_slot(name, view)
                expects[i][name] = (found.expected[i, view.slot] * scale, found.error[i, view.slot] * scale)
                shared[i][name] = found.shared[i, view.slot]
    return expects, shared


def _in_one_slot(name: str, views: list[View]) -> tuple[Floats, Field]:
    """Each view's noise and the variable's field, as they are in one slot: the catalogue speaks of an hour's rain."""
    noise = np.array([view.stretch.noise.get(name, VARIABLES[name].accuracy) for view in views])
    field = Field.of(VARIABLES[name].field)
    if VARIABLES[name].summary != "sum":
        return noise, field
    share = blocks.SLOT / blocks.HOUR
    return noise * share, replace_field(field, spread=field.spread * share)


def _per_slot(name: str, view: View) -> float:
    """How many slots one report of an amount stands for."""
    return max(view.stretch.report_every / blocks.SLOT, 1.0) if VARIABLES[name].summary == "sum" else 1.0
