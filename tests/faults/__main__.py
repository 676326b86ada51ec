"""``python -m tests.faults [--tuning] [--quick] [KIND ...]``: measure, print the table, write ``build/faults.json``."""

import argparse
import json
import sys
from collections.abc import Iterator

from tests.faults import table
from tests.faults.kinds import KINDS
from tests.faults.processes import AT_ONCE, Job, done
from tests.services import ROOT

OUT = ROOT / "build" / "faults.json"
REPORTED, TUNING = 1000, 100
"""The first seed of the reported table, and of runs by which thresholds may be chosen."""

EVENTS = 20
"""Of each kind at ten stations."""

MOST_WORLDS = 30
FEW = (6, 4, 3, 1)
WITH_FEW = 6
"""So many worlds are run with fewer stations too."""

OTHERS = ("clean", "severe", "open")


def main(arguments: list[str]) -> None:
    """Measure what is asked for, or all."""
    asked = _parsed(arguments)
    kinds = [name for name in KINDS if any(name.startswith(part) for part in asked.kinds)]
    if not asked.kinds:
        kinds = list(KINDS)
    if unknown := [p for p in asked.kinds if p not in OTHERS and not any(n.startswith(p) for n in KINDS)]:
        raise SystemExit(f"There is no kind {unknown[0]!r}: use some of {', '.join((*KINDS, *OTHERS))}.")
    seed = TUNING if asked.tuning else REPORTED
    outcomes = [one for part in _faults(kinds, seed, asked.quick) for one in part["outcomes"]]
    rows = table.fault_rows(outcomes)
    if asked.events:
        for one in outcomes:
            print(json.dumps(one))
    table.print_faults(rows)
    OUT.parent.mkdir(exist_ok=True)
    if not asked.tuning:
        OUT.write_text(json.dumps([table.kept(row) for row in rows], indent=2) + "\n")


def _parsed(arguments: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m tests.faults", description="How well is each kind of fault found?"
    )
    parser.add_argument(
        "kinds", nargs="*", metavar="KIND", help="the beginning of a kind's name, clean, severe or open"
    )
    parser.add_argument("--tuning", action="store_true", help="other seeds than those of the reported table")
    parser.add_argument("--quick", action="store_true", help="a quarter of the events, ten stations only")
    parser.add_argument("--events", action="store_true", help="list each event too")
    return parser.parse_args(arguments)


def _faults(kinds: list[str], seed: int, quick: bool) -> Iterator[dict]:
    """World after world, until there are events enough of every kind."""
    missing = dict.fromkeys(kinds, EVENTS // 4 if quick else EVENTS)
    for first in range(0, MOST_WORLDS, AT_ONCE):
        wanted = {name: number for name, number in missing.items() if number > 0}
        if not wanted:
            return
        for job, result in done(_worlds(wanted, seed, first, quick)):
            for one in result["outcomes"]:
                if one["stations"] == 10:
                    missing[one["kind"]] -= 1
            print(f"world {job['seed']}: {len(result['outcomes'])} events", file=sys.stderr)
            yield result


def _worlds(wanted: dict[str, int], seed: int, first: int, quick: bool) -> list[Job]:
    return [
        {
            "job": "faults",
            "seed": seed + index,
            "quarter": index % 4 + 1,
            "wanted": wanted,
            "counts": [10, *(FEW if index < WITH_FEW and not quick else ())],
            "days": 36,
        }
        for index in range(first, first + AT_ONCE)
    ]


if __name__ == "__main__":
    main(sys.argv[1:])
