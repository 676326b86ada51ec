"""``python -m tests.faults [--tuning] [--quick] [KIND ...]``: measure, print the table, write ``build/faults.json``."""

import argparse
import json
import sys
from collections.abc import Iterator

from tests.faults import table
from tests.faults.kinds import KINDS
from tests.faults.open_data import SOURCES
from tests.faults.processes import AT_ONCE, FAILED, Job, Result, done
from tests.services import ROOT

OUT = ROOT / "build" / "faults.json"
REPORTED, TUNING = 1000, 100
"""The first seed of the reported table, and of runs by which thresholds may be chosen."""

EVENTS, EVENTS_WITH_FEW = 20, 6
"""Of each kind at ten stations, and at fewer."""

MOST_WORLDS = 32
QUARTERS = (2, 1, 4, 3, 1, 2)
"""Of the worlds in turn: winter and spring have the most to show, as nights freeze and clocks change."""

WHOLE, FEW = 10, (6, 4, 3, 1)
TIMED = 3
"""So many events of each kind are timed at ten stations."""

CLEAN, SEVERE = "clean", "severe"
OPEN = "open"


def main(arguments: list[str]) -> None:
    """Measure what is asked for, or all."""
    asked = _parsed(arguments)
    names = (*KINDS, CLEAN, SEVERE, OPEN)
    chosen = [name for name in names if not asked.kinds or any(name.startswith(part) for part in asked.kinds)]
    if unknown := [part for part in asked.kinds if not any(name.startswith(part) for name in names)]:
        raise SystemExit(f"There is no kind {unknown[0]!r}: use the beginnings of {', '.join(names)}.")
    seed = TUNING if asked.tuning else REPORTED
    kinds = [name for name in chosen if name in KINDS]
    results = [
        result
        for stations in (WHOLE, *(() if asked.quick else FEW))
        for result in _faults(kinds, seed, asked.quick, stations)
    ]
    results += _results(job for name in chosen for job in _others(name, seed, asked))
    rows = table.fault_rows(one for result in results for one in result.get("outcomes", ()))
    honest = table.honest_rows(results)
    if asked.events:
        for one in (one for result in results for one in result.get("outcomes", ())):
            print(json.dumps(one))
    table.print_faults(rows)
    table.print_honest(honest)
    table.print_legend()
    if not asked.tuning:
        OUT.parent.mkdir(exist_ok=True)
        OUT.write_text(json.dumps([table.kept(row) for row in (*rows, *honest)], indent=2) + "\n")
    if any(FAILED in result for result in results):
        raise SystemExit("Some jobs failed: what is missing is said above.")


def _parsed(arguments: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m tests.faults", description="How well is each kind of fault found?"
    )
    parser.add_argument(
        "kinds", nargs="*", metavar="KIND", help="the beginning of a kind's name, clean, severe or open"
    )
    parser.add_argument("--tuning", action="store_true", help="other seeds than those of the reported table")
    parser.add_argument("--quick", action="store_true", help="a quarter of it, ten stations only")
    parser.add_argument("--events", action="store_true", help="list each event too")
    return parser.parse_args(arguments)


def _faults(kinds: list[str], seed: int, quick: bool, stations: int) -> Iterator[Result]:
    """World after world of so many stations, until there are events enough of every kind."""
    enough = EVENTS if stations == WHOLE else EVENTS_WITH_FEW
    missing = dict.fromkeys(kinds, enough // 4 if quick else enough)
    untimed = dict.fromkeys(kinds, TIMED if stations == WHOLE else 0)
    for first in range(0, MOST_WORLDS, AT_ONCE):
        wanted = {name: number for name, number in missing.items() if number > 0}
        if not wanted:
            return
        timed = [name for name, number in untimed.items() if number > 0]
        worlds = range(first, first + AT_ONCE)
        for result in _results(_world(wanted, seed, index, stations, timed) for index in worlds):
            for one in result.get("outcomes", ()):
                missing[one["kind"]] -= 1
                untimed[one["kind"]] -= one["delay"] is not None
            yield result


def _world(wanted: dict[str, int], seed: int, index: int, stations: int, timed: list[str]) -> Job:
    return {
        "job": "faults",
        "seed": seed + index,
        "quarter": QUARTERS[index % len(QUARTERS)],
        "wanted": wanted,
        "stations": stations,
        "days": 36,
        "timed": timed,
    }


def _others(name: str, seed: int, asked: argparse.Namespace) -> Iterator[Job]:
    """Jobs about readings that are honest, and about open data."""
    if name in (CLEAN, SEVERE):
        first, days = {CLEAN: (60, 30), SEVERE: (80, 16)}[name]
        for index in range(1 if asked.quick else 4):
            yield {
                "job": name,
                "seed": seed + first + index,
                "quarter": index % 4 + 1,
                "counts": [WHOLE, *(() if asked.quick or index % 2 else FEW)],
                "days": days,
            }
    if name == OPEN:
        for source in SOURCES.values():
            for index, begins in enumerate(source.tuning if asked.tuning else source.begins):
                yield {"job": OPEN, "source": source.name, "begins": begins, "seed": seed + 90 + index}


def _results(jobs: Iterator[Job]) -> Iterator[Result]:
    for job, result in done(jobs):
        print(
            "done:",
            *(f"{key} {job[key]}" for key in ("job", "seed", "source") if key in job),
            file=sys.stderr,
        )
        yield result


if __name__ == "__main__":
    main(sys.argv[1:])
