"""A CSV file as a table of text, whichever separator, decimal sign and encoding its writer chose."""

import csv
import io
import re
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from network.wire.said import NotUnderstood, Unreadable, number, quoted

MISSING = frozenset({"", "-", "--", "---", "na", "n/a", "nan", "null", "none"})

_DOT_NUMBER = re.compile(r"[-+]?\d+\.\d+")
_COMMA_NUMBER = re.compile(r"[-+]?\d+,\d+")
_ROWS_TO_JUDGE_BY = 1000


class Row(NamedTuple):
    line: int  # in the file, counted from 1
    cells: list[str]


@dataclass(frozen=True)
class Table:
    """A table as text: nothing in it has been understood yet."""

    columns: list[str]
    rows: list[Row]
    decimal: str  # '.' or ','
    refused: list[str]  # a sentence for each row that does not have the header's columns

    def value(self, cell: str) -> float | None:
        """The number in a cell; None where the cell says that there is none."""
        if cell.lower() in MISSING:
            return None
        if self.decimal == ".":
            return number(cell)
        if "." in cell:
            raise Unreadable(f"{quoted(cell)} is not a number with a decimal comma like the others")
        return number(cell.replace(",", "."))


def read(source: str | Path) -> Table:
    """Read a file, or its text. Raises NotUnderstood where it is no table."""
    text = source if isinstance(source, str) else _decode(source.read_bytes())
    text = text.lstrip("\ufeff")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), skipinitialspace=True)
    lines: list[Row] = []
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
                lines.append(Row(reader.line_num, stripped))
    except csv.Error as error:
        raise NotUnderstood(
            f"Line {reader.line_num} is not CSV: {error}.", "Save the table as CSV again."
        ) from None
    if not lines:
        raise NotUnderstood("The table is empty.", "Its first line must name the columns.")
    header, *rows = lines
    named = [column for column in header.cells if column]
    if len(set(named)) < len(named):
        twice = next(column for column in named if named.count(column) > 1)
        raise NotUnderstood(f"Two columns are called {quoted(twice)}.", "Give each column its own name.")
    return _whole(header.cells, rows)


def _whole(columns: list[str], rows: list[Row]) -> Table:
    """The rows that have every column; separators too many at a row's end do no harm."""
    width = len(columns)
    whole: list[Row] = []
    refused: list[str] = []
    for line, cells in rows:
        if len(cells) >= width and not any(cells[width:]):
            whole.append(Row(line, cells[:width]))
        else:
            refused.append(
                f"Line {line} was left out: it has {len(cells)} columns and the header has {width}."
            )
    if not whole:
        problem = refused[0] if refused else "The table has no rows."
        raise NotUnderstood(problem, "Each row needs every column of the header.")
    return Table(columns, whole, _decimal(whole), refused)


def _decode(body: bytes) -> str:
    try:
        return body.decode()
    except UnicodeDecodeError:
        return body.decode("cp1252", errors="replace")  # what older spreadsheets write


def _separator(text: str) -> str:
    """The separator that makes most columns of the header."""
    header = text.lstrip().partition("\n")[0]
    return max(";\t,", key=header.count)


def _decimal(rows: list[Row]) -> str:
    """A comma where numbers are written with a comma and none with a dot."""
    cells = [cell for row in rows[:_ROWS_TO_JUDGE_BY] for cell in row.cells]
    if any(_DOT_NUMBER.fullmatch(cell) for cell in cells):
        return "."
    return "," if any(_COMMA_NUMBER.fullmatch(cell) for cell in cells) else "."
