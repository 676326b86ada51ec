"""The households' boards: what each would send, made of the weather, its instruments and its faults."""

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.demo import counters, faults, terrain
from network.demo.instruments import Instrument
from network.demo.weather import PERIOD, Weather
from network.science.units import convert

Array = NDArray[np.float64]
Values = dict[str, float]

VILLAGE = Path(__file__).with_name("village.toml")
BOARDS = Path(__file__).with_name("boards.toml")


@dataclass(frozen=True)
class Board:
    """One station's board: where it stands, what is wired to it, how it speaks and what ails it."""

    station: str
    latitude: float
    longitude: float
    instruments: tuple[Instrument, ...]
    format: str  # senml, json or form
    clock: str  # epoch, utc, local, age or none
    zone: str  # of the times it writes without an offset
    behind: int  # [s] how far its clock is slow
    begun: tuple[tuple[str, float], ...]  # faults and when each began, epoch seconds


def read_boards(made_at: float, village: Path = VILLAGE, boards: Path = BOARDS) -> list[Board]:
    """The boards of a village in the file's order, faults counted back from ``made_at`` [epoch seconds]."""
    described = tomllib.loads(village.read_text(encoding="utf-8"))
    speech = tomllib.loads(boards.read_text(encoding="utf-8"))
    return [
        _board(station, speech[station["name"]], described["instruments"], made_at)
        for household in described["households"]
        for station in household["stations"]
    ]


def values_sent(board: Board, weather: Weather, seconds: ArrayLike) -> list[Values]:
    """What the board says by channel, for reports at epoch times (t,), multiples of five minutes.

    Numbers are in the units its channels really send; a channel with nothing to say is left out.
    """
    seconds = np.asarray(seconds, dtype=np.int64)
    if np.any(seconds % int(PERIOD)):
        raise ValueError("Boards report every five minutes on the clock: ask for multiples of 300 s.")
    since_restart = counters.times_from_restart(seconds)
    truth = _truth(board, weather, since_restart)
    reported = np.searchsorted(since_restart, seconds)
    columns = {
        instrument.channel: _sent(instrument, truth, since_restart)[reported]
        for instrument in board.instruments
    }
    return [
        {channel: float(values[row]) for channel, values in columns.items() if np.isfinite(values[row])}
        for row in range(seconds.size)
    ]


def _truth(board: Board, weather: Weather, seconds: NDArray[np.int64]) -> dict[str, Array]:
    ground = terrain.elevation(board.latitude, board.longitude)
    found = weather.at(seconds, board.latitude, board.longitude, ground)
    truth = {name: values[0] for name, values in found.items()}
    sunlight = truth["irradiance"]
    twelve_volts = any(i.variable == "battery_voltage" and i.range[1] > 10 for i in board.instruments)
    charge = sunlight / (sunlight + 120.0)
    truth["battery_voltage"] = 12.5 + 0.9 * charge if twelve_volts else 3.92 + 0.2 * charge
    truth["light_level"] = np.log1p(120.0 * sunlight) / np.log1p(120.0 * 1000.0)
    for kind, began in board.begun:
        truth = faults.FAULTS[kind](truth, np.asarray((seconds - began) / faults.DAY, dtype=np.float64))
    return truth


def _sent(instrument: Instrument, truth: dict[str, Array], seconds: NDArray[np.int64]) -> Array:
    """The channel's numbers: raw counts where the board only counts, otherwise the unit it sends."""
    sensed = instrument.sense(truth, seconds)
    if instrument.variable == "rain_amount":
        return counters.tips_sent(instrument, sensed, seconds)
    if instrument.calibration:
        return counters.counts_sent(instrument, sensed)
    shown = instrument.rounded(sensed)
    step = np.abs(np.diff(convert([0.0, instrument.resolution], instrument.unit, instrument.sends)))[0]
    return np.round(convert(shown, instrument.unit, instrument.sends), max(0, int(np.ceil(-np.log10(step)))))


def _board(station: dict[str, Any], speech: dict[str, Any], kinds: dict[str, Any], made_at: float) -> Board:
    calibrations = {each["channel"]: each for each in station.get("calibrations", [])}
    really_sends = speech.get("really_sends", {})
    return Board(
        station=station["name"],
        latitude=station["latitude"],
        longitude=station["longitude"],
        instruments=tuple(
            Instrument.fitted(
                station["name"],
                kinds[each["kind"]],
                each | {"sends": really_sends.get(each["channel"], each["sends"])},
                calibrations.get(each["channel"], {}),
            )
            for each in station["instruments"]
        ),
        format=speech["format"],
        clock=speech["clock"],
        zone=station.get("clock", {}).get("zone", "UTC"),
        behind=speech.get("behind", 0),
        begun=tuple(
            (fault["kind"], made_at - fault["days_before"] * faults.DAY) for fault in speech.get("faults", [])
        ),
    )
