"""Two days of rain as the browser gets them, where the two spells they lie in are mapped by different roots."""

import json

import numpy as np
import pytest
from django.urls import reverse

from network.models import FieldFit, VillageMap
from network.pipeline.ledger.blocks import DAY, SPELL
from network.pipeline.maps.map import estimate, village_grid
from network.pipeline.settle import settle
from network.spatial.mixture import Mixture
from network.spatial.rain import Rain
from network.web.maps.run import CHANCE_TOLERANCE
from stations.models import Station
from tests.network.made_village import Report, deliver, make_village, observations
from tests.village import five_minutes

BOUNDARY = 20550 * DAY
"""2026-04-07, where a spell begins."""

TIMES = five_minutes("2026-04-06T22:00", 4 / 24)
TYPES = {"float32": "<f4", "int16": "<i2", "uint8": "u1"}
LAYERS = ("chance", "middle", "spread")

SHOWN = 0.1
"""[mm] The last figure of rain that is shown."""


@pytest.fixture
def village(db):
    """Two hours of showers on either side of the boundary; from there on the gauges are mapped by cube roots."""
    village, random = make_village(5, ("rain_amount",)), np.random.default_rng(3)
    for station in Station.objects.of(village):
        showers = np.where(random.random(len(TIMES)) < 0.1, 0.2 * random.poisson(12, len(TIMES)), 0.0)
        deliver([Report(station.pk, tuple(observations(station, TIMES, {"rain": showers})))])
    settle()
    for begins_at, root in ((BOUNDARY - SPELL, 1), (BOUNDARY, 3)):
        FieldFit.objects.create(
            village=village,
            variable="rain_amount",
            part=FieldFit.Part.ALL,
            begins_at=begins_at,
            fields=[[{"spread": 0.8, "reach": 900.0}, 0.0]],
            widening=1.0,
            root=root,
            slope=1.0 / root,
            method="kriging",
            rmse=[None, None, None],
            frames=100,
        )
    return village


def unpacked(content: bytes) -> tuple[dict, dict[str, np.ndarray]]:
    at = 4 + int.from_bytes(content[:4], "little")
    head, arrays = json.loads(content[4:at]), {}
    for one in head["arrays"]:
        kind = np.dtype(TYPES[one["type"]])
        count = int(np.prod(one["shape"]))
        arrays[one["name"]] = np.frombuffer(content, kind, count, at).reshape(one["shape"])
        at += -(-count * kind.itemsize // 4) * 4
    return head, arrays


def mixed(arrays: dict[str, np.ndarray], layer: str, columns: int) -> np.ndarray:
    """The maps (g, t) of a layer, as the browser adds them up."""
    steps = arrays[f"{layer}.pictures"]
    pictures = steps.reshape(len(steps), -1, columns).cumsum(axis=2, dtype=np.int16).reshape(steps.shape)
    return Mixture(arrays[f"{layer}.level"], pictures, arrays[f"{layer}.shares"]).maps.astype(float)


def test_each_frame_is_turned_back_by_the_root_of_its_own_spell(village, client):
    kept = list(VillageMap.objects.filter(village=village, variable="rain_amount").order_by("at"))
    address = reverse("village-map-run", args=[village.slug])
    head, arrays = unpacked(client.get(address, {"variable": "rain_amount", "at": kept[-1].at}).content)
    grid, frames = head["grid"], head["frames"]
    times = [(one.at - frames["first"]) // frames["step"] for one in kept]
    roots = arrays["root"][times]
    assert roots.tolist() == [1.0 if one.at <= BOUNDARY else 3.0 for one in kept]
    assert {1.0, 3.0} == set(roots.tolist())

    whole = estimate(village, kept, village_grid(village, grid["rows"]))
    chance, middle, spread = (mixed(arrays, layer, grid["columns"])[:, times] for layer in LAYERS)
    sent = Rain(chance, middle, spread, roots.astype(int))
    sure = np.abs(whole.chance - 0.5) > CHANCE_TOLERANCE
    assert whole.estimate.max() > 1.0
    assert np.abs(sent.amount - whole.estimate)[sure].max() <= SHOWN * 0.21
