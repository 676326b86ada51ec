"""How boards say it: the very bytes that each sends, in the format and by the clock it has."""

import json
from datetime import UTC, datetime
from typing import NamedTuple
from urllib.parse import urlencode
from zlib import crc32
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import ArrayLike

from network.demo.boards import Board, Values, values_sent
from network.demo.weather import Weather
from network.science.units import find

SENML_UNITS = {"Cel", "%", "hPa", "m/s", "mm", "W/m2", "V"}
"""Those of the units here that RFC 8428 or RFC 8798 name; %RH is written for %."""


class Sent(NamedTuple):
    """One report as it leaves a board."""

    sent_at: int  # epoch seconds of the true clock
    content_type: str
    body: bytes


def sent(board: Board, weather: Weather, seconds: ArrayLike) -> list[Sent]:
    """The board's reports for periods that end at epoch times (t,), multiples of five minutes, one a time."""
    seconds = np.asarray(seconds, dtype=np.int64)
    return [
        _say(board, int(at), values)
        for at, values in zip(seconds, values_sent(board, weather, seconds), strict=True)
        if values
    ]


def _say(board: Board, at: int, values: Values) -> Sent:
    sent_at = at + 2 + crc32(board.station.encode()) % 20  # Wi-Fi and thought
    plain = {name: int(value) if value == int(value) else value for name, value in values.items()}
    if board.format == "senml":
        return Sent(sent_at, "application/senml+json", json.dumps(_pack(board, at, values)).encode())
    observation = _when(board, at, sent_at) | plain
    if board.format == "form":
        return Sent(sent_at, "application/x-www-form-urlencoded", urlencode(observation).encode())
    return Sent(sent_at, "application/json", json.dumps(observation).encode())


def _when(board: Board, at: int, sent_at: int) -> dict[str, int | str]:
    told = at - board.behind
    if board.clock == "epoch":
        return {"time": told}
    if board.clock == "utc":
        return {"time": f"{datetime.fromtimestamp(told, UTC):%Y-%m-%dT%H:%M:%SZ}"}
    if board.clock == "local":
        return {"time": f"{datetime.fromtimestamp(told, ZoneInfo(board.zone)):%Y-%m-%dT%H:%M:%S}"}
    return {"age": sent_at - at} if board.clock == "age" else {}


def _pack(board: Board, at: int, values: Values) -> list[dict[str, object]]:
    """A SenML pack (RFC 8428): the time once, then a record a channel."""
    records: list[dict[str, object]] = []
    for instrument in board.instruments:
        if instrument.channel in values:
            record: dict[str, object] = {"n": instrument.channel, "v": values[instrument.channel]}
            symbol = find(instrument.sends).symbol
            if symbol in SENML_UNITS:
                record["u"] = "%RH" if symbol == "%" else symbol
            records.append(record)
    records[0] = {"bt": at - board.behind} | records[0]
    return records
