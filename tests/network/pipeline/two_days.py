"""Two days of four stations with faults in them: what each says, and ways to hand it over."""

from collections.abc import Sequence
from datetime import UTC, datetime
from random import Random
from typing import NamedTuple

import numpy as np

from network.models import Work
from network.pipeline.ledger import work
from network.pipeline.stages import STAGES
from stations.models import Calibration, Station, Village
from tests.network.made_village import (
    FOUNDED,
    Observation,
    Report,
    deliver,
    found_village,
    observations,
    settle_station,
)
from tests.village import five_minutes

EVERY = 600
NOW = datetime(2026, 3, 29, 6, tzinfo=UTC).timestamp()
"""[UTC epoch s] When it is: six hours after the last observation."""

MEASURED = ("air_temperature", "relative_humidity", "station_pressure")

Said = dict[int, list[Observation]]


class TwoDays(NamedTuple):
    """The village, and each station's observations in order of time."""

    village: Village
    said: Said

    def __repr__(self) -> str:
        return f"two days of {self.village}"


def village_with_faults() -> TwoDays:
    """Everything is there to be said; nothing has been reported yet."""
    village = found_village()
    times = five_minutes("2026-03-27", 2)[1::2]
    honest, fahrenheit, stuck, spiky = (
        settle_station(village, name, (*MEASURED, *more), report_every=EVERY)
        for name, more in (
            ("Brook", ("rain_amount",)),
            ("Mill", ()),
            ("Green", ()),
            ("Hill", ("wind_speed",)),
        )
    )
    Calibration.objects.create(
        channel=honest.channels.get(name="rain"),
        begins_at=FOUNDED,
        kind="tips",
        parameters={"millimetres_per_tip": 0.2, "counts": "total", "modulus": 4096},
    )
    said = {station.pk: observations(station, times) for station in (honest, fahrenheit, stuck, spiky)}
    rained = np.cumsum([round(one["rain"] / 0.2) for one in said[honest.pk]])
    for one, tips in zip(said[honest.pk], rained, strict=True):
        one["rain"] = int(tips + 4090) % 4096  # wraps with the first rain
    for one in said[fahrenheit.pk]:
        one["t"] = round(one["t"] * 1.8 + 32, 1)  # registered as Celsius
    for one in said[stuck.pk][60:140]:
        one["t"] = said[stuck.pk][60]["t"]
    for index in (20, 90, 91, 200):
        said[spiky.pk][index]["t"] += 9.0
    del said[spiky.pk][120:165]  # silent for seven and a half hours
    said[spiky.pk].append(said[spiky.pk][-1] | {"t": 3.0})  # says two things of one instant
    return TwoDays(village, said)


def in_batches(said: Said, random: Random) -> list[Report]:
    """Everything, each station's observations cut into batches of any size, some of them sent twice or overlapping."""
    reports = []
    for station, all_of_it in said.items():
        first = 0
        while first < len(all_of_it):
            last = first + random.choice((1, 2, 5, 30, 100))
            again = random.choice((0, 0, 0, 3))  # says once more what may not have arrived
            reports.append(Report(station, tuple(all_of_it[max(first - again, 0) : last])))
            first = last
    return reports + random.sample(reports, len(reports) // 4)


def out_of_order(reports: Sequence[Report], random: Random) -> list[Report]:
    """Anything from nearly in order to not at all."""
    disorder = random.choice((0.0, 3600.0, 43200.0, 1e9))
    return sorted(reports, key=lambda report: report.received_at + random.uniform(0, disorder))


def some_work(random: Random) -> None:
    """A worker does a few pieces."""
    for _ in range(random.choice((1, 5, 20))):
        work.do_next(STAGES)


def killed_before_keeping(random: Random) -> None:
    """A worker dies with its results in hand; its claim is left behind."""
    piece = work.claim()
    if piece is not None:
        work.computed(piece, STAGES)


def killed_while_keeping(random: Random) -> None:
    """A worker dies when all is written and nothing committed."""

    def dying(stage):
        def compute(*args, **kwargs):
            keep = stage(*args, **kwargs)

            def die() -> None:
                keep()
                raise SystemExit

            return die

        return compute

    try:
        work.do_next({name: dying(stage) for name, stage in STAGES.items()})
    except SystemExit:
        return


def too_slow(random: Random) -> None:
    """A worker takes so long that another does the same and more; then it wants to keep what it has."""
    piece = work.claim()
    if piece is None:
        return
    keep = work.computed(piece, STAGES)
    claims_run_out()
    some_work(random)
    try:
        with work.keeping(piece):
            keep()
    except work.ClaimLost:
        return


def overtaken(random: Random, more: Sequence[Report]) -> None:
    """Reports arrive between a worker's computing and its keeping."""
    piece = work.claim()
    if piece is None:
        return deliver(more)
    keep = work.computed(piece, STAGES)
    deliver(more)
    with work.keeping(piece):
        keep()
    return None


def claims_run_out() -> None:
    """Five minutes pass."""
    Work.objects.update(claimed_until=0.0)


MISHAPS = (some_work, killed_before_keeping, killed_while_keeping, too_slow)


def stations_of(village: Village) -> dict[str, Station]:
    """By name."""
    return {station.name: station for station in Station.objects.of(village)}
