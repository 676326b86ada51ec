"""A village told everything at once and settled: what the stage tests look at."""

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from network.models import Observation
from network.models.observation import MARKS, VALUES
from network.models.storage import Rows, read
from network.pipeline.settle import settle
from network.quality.verdict import verdict_of
from stations.models import Station, Village
from tests.network.made_village import (
    NAMES,
    Report,
    channel,
    deliver,
    found_village,
    observations,
    settle_station,
)

Change = Callable[[NDArray[np.int64]], Mapping[str, NDArray[np.float64]]]
IN_A_REPORT = 100


def village_of(
    stations: int,
    times: NDArray[np.int64],
    variables: Sequence[str] = ("air_temperature",),
    changed: Mapping[str, Change] | None = None,
    instruments: Mapping[str, Mapping[str, object]] | None = None,
) -> Village:
    """A settled village; ``changed`` gives by station what its channels say instead, from the times (t,).

    ``instruments`` gives by station the figures of its thermometer.
    """
    village = found_village()
    for name in NAMES[:stations]:
        fitted = (instruments or {}).get(name, {})
        station = settle_station(
            village, name, [v for v in variables if v != "air_temperature" or not fitted]
        )
        if fitted:
            channel(station, "air_temperature", **fitted)
        other = (changed or {}).get(name)
        said = observations(station, times, other(times) if other else None)
        deliver(
            Report(station.pk, tuple(said[first : first + IN_A_REPORT]))
            for first in range(0, len(said), IN_A_REPORT)
        )
    settle()
    return village


def rows_of(village: Village, name: str) -> Rows:
    """A station's observations."""
    station = Station.objects.of(village).get(name=name).pk
    return read(Observation, [station], 0, 1 << 40, (*VALUES, *MARKS))


def verdicts(village: Village, name: str, variable: str = "air_temperature") -> NDArray[np.int64]:
    """A station's verdicts in order of time."""
    return verdict_of(rows_of(village, name).columns[f"{variable}_mark"].astype(np.int64))
