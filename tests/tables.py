"""``make tables``: write the tables of the documentation anew from the code and from what was measured."""

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from network.quality import document
from tests.services import ROOT

README, DEVELOPERS = ROOT / "README.md", ROOT / "DEVELOPERS.md"
MEASURED = ROOT / "build" / "faults.json"
BEGIN, END = "<!-- {}: written by make tables -->", "<!-- end of {} -->"
WHOLE, FEWER = 10, (6, 4, 3, 1)
HONEST = {"clean": "any weather", "severe": "severe weather"}

Row = Mapping[str, Any]


def faults(rows: Iterable[Row]) -> str:
    """Two tables, of the faults and of honest readings, from the rows of ``build/faults.json``."""
    rows = list(rows)
    measured = {(row["kind"], row["stations"]): row for row in rows if "events" in row}
    honest = [row for row in rows if row["kind"] in HONEST and row["stations"] == WHOLE]
    kinds = list(dict.fromkeys(kind for kind, _ in measured))
    lines = [
        "| fault | events | found | readings | precision | delay | in time | right reason | found at 6, 4, 3, 1 |",
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | --- |",
        *(_fault(kind, measured) for kind in kinds),
        "",
        "| honest readings of | called wrong | doubtful |",
        "| --- | ---: | ---: |",
        *_honest(honest),
    ]
    return "\n".join(lines)


def _fault(kind: str, measured: Mapping[tuple[str, int], Row]) -> str:
    most = max(stations for name, stations in measured if name == kind)
    row = measured[kind, most]
    fewer = [measured.get((kind, stations)) for stations in FEWER]
    delay = "" if row["delay_hours"] is None else f"{row['delay_hours']:.3g} h"
    cells = (
        f"**{kind}**" if row["gross"] else kind,
        row["events"],
        _share(row["event_recall"]),
        _share(row["reading_recall"]),
        _share(row["precision"]),
        delay,
        _share(row["in_time"]),
        _share(row["reason_right"]),
        ", ".join(_found_of(one) for one in fewer) if any(fewer) else "not measured",
    )
    return "| " + " | ".join(str(cell) for cell in cells) + " |"


def _found_of(row: Row | None) -> str:
    """How many of how many events: few are run with fewer stations, so a share would say too much."""
    return "–" if row is None else f"{round(row['event_recall'] * row['events'])}/{row['events']}"


def _honest(rows: Iterable[Row]) -> Iterator[str]:
    for row in rows:
        words = row["variable"].replace("_", " ")
        yield f"| {words}, {HONEST[row['kind']]} | {row['share_wrong']:.4%} | {row['share_doubtful']:.3%} |"


def _share(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}"


def put(file: Path, name: str, table: str) -> None:
    """Write a table between its marks."""
    begin, end = BEGIN.format(name), END.format(name)
    whole = file.read_text(encoding="utf-8")
    if begin not in whole:
        raise SystemExit(f"{file.name} has no place for the table: write {begin} and {end} into it.")
    marked = re.compile(re.escape(begin) + ".*?" + re.escape(end), re.DOTALL)
    file.write_text(marked.sub(lambda _: f"{begin}\n{table}\n{end}", whole), encoding="utf-8")


def main() -> None:
    """All of them; that of the faults if it was measured here."""
    put(DEVELOPERS, "checks", document.table().strip())
    if MEASURED.exists():
        put(README, "faults", faults(json.loads(MEASURED.read_text())))
    else:
        print("The table of faults stays as it is: make faults measures it.")


if __name__ == "__main__":
    main()
