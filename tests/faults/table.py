"""Rows of the table from what the jobs measured, and how they are printed."""

from collections.abc import Iterable, Iterator, Mapping
from statistics import median
from typing import Any

from tests import faults
from tests.faults.kinds import KINDS

Row = dict[str, Any]

HEAD = (
    "kind",
    "source",
    "gross",
    "stations",
    "events",
    "found",
    "readings",
    "precision",
    "delay",
    "in time",
    "reason",
    "reasons given",
)
SHOWN = "{:<40} {:<15} {:<6} {:>8} {:>6} {:>6} {:>8} {:>9} {:>7} {:>7} {:>6}  {}"
CLEAN = "{:<24} {:<22} {:>8} {:>10} {:>10} {:>10}  {}"
WEATHER = "demo weather"
WHOLE = 10
"""Stations of a whole village."""


def fault_rows(outcomes: Iterable[Mapping[str, Any]]) -> list[Row]:
    """A row for each kind and number of stations."""
    parts: dict[tuple[str, int], list[Mapping[str, Any]]] = {}
    for one in outcomes:
        parts.setdefault((one["kind"], one["stations"]), []).append(one)
    order = {name: i for i, name in enumerate(KINDS)}
    return [
        _row(kind, stations, parts[kind, stations])
        for kind, stations in sorted(parts, key=lambda key: (order.get(key[0], 99), key[0], -key[1]))
    ]


def _row(kind: str, stations: int, events: list[Mapping[str, Any]]) -> Row:
    shape = KINDS[kind.partition(" (")[0]]
    found = [one for one in events if one["found"]]
    delays = [one["delay"] for one in found if one["delay"] is not None]
    asked = [one["in_time"] for one in events if one["in_time"] is not None]
    reasons = {one["reason"] for one in found if one["reason"]}
    often = {reason: sum(one["reason"] == reason for one in found) for reason in reasons}
    return {
        "kind": kind,
        "gross": shape.gross,
        "stations": stations,
        "events": len(events),
        "event_recall": len(found) / len(events),
        "reading_recall": _share(events, "not_good", "affected"),
        "precision": None if shape.harmless else _share(events, "doubted_rightly", "doubted"),
        "delay_hours": round(median(delays), 2) if delays else None,
        "in_time": sum(asked) / len(asked) if asked else None,
        "reason_right": None
        if shape.harmless or not found
        else sum(one["right"] for one in found) / len(found),
        "reasons": ", ".join(
            f"{name} {often[name]}" for name in sorted(often, key=lambda name: -often[name])
        ),
    }


def _share(events: list[Mapping[str, Any]], part: str, whole: str) -> float | None:
    total = sum(one[whole] for one in events)
    return sum(one[part] for one in events) / total if total else None


def clean_rows(kind: str, tallies: Iterable[Mapping[str, Mapping[str, Any]]]) -> Iterator[Row]:
    """A row for each variable and number of stations, from tallies by number of stations."""
    counted: dict[tuple[str, int], Row] = {}
    for by_stations in tallies:
        for stations, tally in by_stations.items():
            for variable, part in tally.items():
                row = counted.setdefault(
                    (variable, int(stations)), {"n": 0, "wrong": 0, "doubtful": 0, "checks": {}}
                )
                row["n"] += part["readings"]
                row["wrong"] += part["wrong"]
                row["doubtful"] += part["doubtful"]
                for name, times in part["checks"].items():
                    row["checks"][name] = row["checks"].get(name, 0) + times
    for (variable, stations), row in sorted(counted.items(), key=lambda item: -item[0][1]):
        yield {
            "kind": kind,
            "variable": variable,
            "stations": stations,
            "share_wrong": row["wrong"] / row["n"],
            "share_doubtful": row["doubtful"] / row["n"],
            "readings": row["n"],
            "checks": ", ".join(f"{k} {v}" for k, v in sorted(row["checks"].items(), key=lambda kv: -kv[1])),
        }


def honest_rows(results: Iterable[Row]) -> list[Row]:
    """The rows of clean and severe weather, of each storm that raised a doubt, and of the open data."""
    results = list(results)
    rows: list[Row] = []
    for kind in ("clean", "severe"):
        made = [one[kind] for one in results if kind in one and "source" not in one]
        rows += clean_rows(kind, made)
    storms = [one["storms"] for one in results if "storms" in one]
    for storm in sorted({name for one in storms for name in one}):
        made = [{WHOLE: one[storm]} for one in storms if storm in one]
        rows += [row for row in clean_rows(f"severe ({storm})", made) if row["checks"]]
    for source in sorted({one["source"] for one in results if "source" in one}):
        rows += clean_rows(
            f"clean ({source})", [one["clean"] for one in results if one.get("source") == source]
        )
    return rows


KEPT = ("kind", "gross", "variable", "stations", "events", "event_recall", "reading_recall", "precision", "delay_hours", "in_time",
        "reason_right", "share_wrong", "share_doubtful")  # fmt: skip


def kept(row: Row) -> Row:
    """What the file holds of a row."""
    return {name: row[name] for name in KEPT if name in row}


def print_faults(rows: Iterable[Row]) -> None:
    """The table of faults."""
    print(SHOWN.format(*HEAD))
    for row in rows:
        kind, _, source = row["kind"].partition(" (")
        figures = [row[name] for name in ("event_recall", "reading_recall", "precision")]
        delay = "" if row["delay_hours"] is None else f"{row['delay_hours']:.1f} h"
        print(
            SHOWN.format(
                kind,
                source.rstrip(")") or WEATHER,
                "gross" if row["gross"] else "",
                row["stations"],
                row["events"],
                *map(_two, figures),
                delay,
                _two(row["in_time"]),
                _two(row["reason_right"]),
                row["reasons"],
            )
        )


def print_honest(rows: Iterable[Row]) -> None:
    """The table of honest readings."""
    print(CLEAN.format("kind", "variable", "stations", "readings", "wrong", "doubtful", "said by"))
    for row in rows:
        wrong, doubtful = f"{row['share_wrong']:.4%}", f"{row['share_doubtful']:.3%}"
        print(
            CLEAN.format(
                row["kind"], row["variable"], row["stations"], row["readings"], wrong, doubtful, row["checks"]
            )
        )


def print_legend() -> None:
    """What the words of the tables mean, as the package says."""
    said = faults.__doc__ or ""
    print(said[said.index("Words of the table") :])


def _two(share: float | None) -> str:
    return "" if share is None else f"{share:.2f}"
