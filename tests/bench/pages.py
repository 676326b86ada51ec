"""Every kind of page of the demo village at the server: the CPU time of a request, and the time it takes."""

import time
from collections.abc import Iterator
from statistics import median

from django.contrib.auth import get_user_model
from django.test import Client
from django.urls import reverse

from network.demo.history import STEP
from network.models import Case, Observation
from network.web.bench.helpers import HELPERS
from stations.models import Channel, Station, Village
from tests.bench.demo import settled_demo
from tests.bench.figure import Figure

DAYS = 30
TIMES = 9
BAR = "<= 100"

EVERYBODY, KEEPER, STEWARD = "", "keeper", "steward"


def measure(database: str) -> Iterator[Figure]:
    """Medians of some requests [ms]; beside the CPU's time, as the reference, that on the clock on the wall."""
    now = int(time.time()) // STEP * STEP
    village, _, _ = settled_demo(DAYS, now, now)
    clients = {EVERYBODY: Client()}
    for name in (KEEPER, STEWARD):
        clients[name] = Client()
        clients[name].force_login(get_user_model().objects.get(username=name))
    for who, name, address in (*_open(village), *_kept(village), *_at_the_desk(village)):
        yield _measured(clients[who], name, address)


def _measured(client: Client, name: str, address: str) -> Figure:
    taken = []
    for _ in range(TIMES + 1):
        on_the_cpu, on_the_wall = time.process_time(), time.perf_counter()
        answer = client.get(address)
        taken.append((time.process_time() - on_the_cpu, time.perf_counter() - on_the_wall))
        assert answer.status_code == 200, f"{address}: {answer.status_code}"
    cpu, wall = (1e3 * median(column) for column in zip(*taken[1:], strict=True))  # templates are read once
    return Figure(name, cpu, "ms CPU | wall", wall, None, BAR)


Pages = Iterator[tuple[str, str, str]]  # who opens it, its name, its address


def _open(village: Village) -> Pages:
    one, other = _station("Water Meadow"), _station("Mill End")
    here, newest = {"village": village.slug}, Observation.objects.latest("observed_at").observed_at
    day = time.gmtime(newest - 2 * 86400)[:3]
    asked = {
        "front": reverse("village", kwargs=here),
        "front_wind": reverse("village", kwargs=here) + "?variable=wind_speed",
        "map": reverse("village-map-page", kwargs=here) + "?lat=47.311&lon=8.913",
        "map_scores": reverse("village-map-scores", kwargs=here),
        "gate": reverse("village-gate", kwargs=here) + "?lat=47.311&lon=8.913",
        "explore": reverse("village-explore", kwargs=here),
        "compare": reverse("compare", kwargs=here) + f"?stations={one.pk},{other.pk}",
        "station": reverse("station", args=[village.slug, one.pk]),
        "station_week": reverse("station", args=[village.slug, one.pk]) + "?span=week",
        "station_month": reverse("station", args=[village.slug, one.pk]) + "?span=month",
        "chart": reverse("station-chart", args=[village.slug, one.pk, "air_temperature"]),
        "sheet": reverse("station-sheet", args=[village.slug, one.pk]),
        "checks": reverse("checking"),
        "sending": reverse("sending"),
    }
    for name, length in (("year", 1), ("month", 2), ("day", 3)):
        asked[f"record_{name}"] = reverse("village-record", args=[village.slug, *day[:length]])
        of_station = [village.slug, one.pk, *day[:length]]
        asked[f"record_{name}_station"] = reverse("station-record", args=of_station)
    return ((EVERYBODY, name, address) for name, address in asked.items())


def _kept(village: Village) -> Pages:
    one = _station("Water Meadow")
    yield KEEPER, "station_kept", reverse("station", args=[village.slug, one.pk]) + "?span=week"
    yield KEEPER, "reports", reverse("station-reports", args=[village.slug, one.pk])
    for name in ("my-stations", "notices"):
        yield KEEPER, name, reverse(name)
    for name in ("place", "instruments", "siting", "photos", "clock", "key"):
        yield KEEPER, name, reverse(f"register-{name}", args=[one.pk])
    for helper in HELPERS:
        fitting = (channel for channel in _channels(village) if helper.suits(channel))
        if channel := next(fitting, None):
            client = KEEPER if channel.station_id == one.pk else STEWARD
            yield (
                client,
                f"bench_{helper.name}",
                reverse("bench-helper", args=[channel.station_id, channel.pk, helper.name]),
            )


def _at_the_desk(village: Village) -> Pages:
    one = _station("Water Meadow")
    for name in ("desk", "desk-settled", "trail", "desk-ground"):
        yield STEWARD, name, reverse(name, args=[village.slug])
    yield STEWARD, "desk-station", reverse("desk-station", args=[village.slug, one.pk])
    asked = f"?station={one.pk}&variable=air_temperature"
    yield STEWARD, "desk_reading", f"/{village.slug}/desk/reading/{asked}"
    for case in Case.objects.of(village).order_by("pk"):
        yield STEWARD, f"case_{case.check_name}", reverse("case", args=[village.slug, case.pk])


def _station(name: str) -> Station:
    return Station.objects.get(name=name)


def _channels(village: Village) -> list[Channel]:
    return list(
        Channel.objects.filter(station__household__village=village).select_related("instrument", "station")
    )
