"""``python -m tests.scores [DATASET ...]``: score, print the table, write ``build/scores.json``."""

import json
import os
import sys
from dataclasses import asdict
from importlib import import_module
from pathlib import Path

DATASETS = ("swiss-rain", "irish-wind", "haute-borne", "new-york", "made-village")
"""Each has a module of its name here."""

OUT = Path(__file__).parent.parent.parent / "build" / "scores.json"
HEAD = ("dataset", "method", "rmse", "mae", "bias", "cover 90 %", "crps", "seconds")
SHOWN = "{:<19} {:<17} {:>8} {:>8} {:>8} {:>10} {:>8} {:>8}"


def main(wanted: list[str]) -> None:
    """Score the wanted datasets, or all."""
    if unknown := set(wanted) - set(DATASETS):
        raise SystemExit(f"There is no dataset {min(unknown)!r}: use some of {', '.join(DATASETS)}.")
    print(SHOWN.format(*HEAD))
    rows = []
    for dataset in wanted or DATASETS:
        for row in import_module(f"tests.scores.{dataset.replace('-', '_')}").measure():
            rows.append(asdict(row))
            covered = "" if row.coverage_90 is None else f"{100 * row.coverage_90:.1f}"
            figures = [f"{value:.3f}" for value in (row.rmse, row.mae, row.bias)]
            print(
                SHOWN.format(
                    row.dataset, row.method, *figures, covered, f"{row.crps:.3f}", f"{row.seconds:.1f}"
                ),
                flush=True,
            )
    OUT.parent.mkdir(exist_ok=True)
    OUT.write_text(json.dumps(rows, indent=2) + "\n")


if __name__ == "__main__":
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    main(sys.argv[1:])
