"""The checks as a table for the documentation, written from the checks themselves."""

from network.quality.checks import CHECKS

COLUMNS = ("check", "family", "source", "thresholds", "needs", "what the keeper is told")


def rows() -> list[tuple[str, ...]]:
    """A row per check, in the order they look: the texts of ``COLUMNS``."""
    return [
        (
            f"`{check.name}`",
            check.family,
            check.source,
            ", ".join(f"{name} {value:g}" for name, value in check.thresholds.items()) or "the catalogue's",
            check.needs,
            f"{check.meaning} {check.advice}",
        )
        for check in CHECKS.values()
    ]


def table() -> str:
    """All rows as a Markdown table."""
    lines = [COLUMNS, tuple("---" for _ in COLUMNS), *rows()]
    escaped = ([cell.replace("|", "\\|") for cell in cells] for cells in lines)
    return "".join("| " + " | ".join(cells) + " |\n" for cells in escaped)
