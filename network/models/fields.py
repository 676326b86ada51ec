"""Columns the wide tables are made of."""

from collections.abc import Callable
from typing import Any

import numpy as np
from django.db import models


class RealField(models.FloatField):
    """A single-precision number: 4 bytes on PostgreSQL, finer than any home instrument."""

    def db_type(self, connection: Any) -> str:
        return "real"

    def get_db_converters(self, connection: Any) -> list[Callable[..., float | None]]:
        # PostgreSQL says a real in the fewest digits that tell it apart: as a double those are another number.
        return [_as_kept] if connection.vendor == "postgresql" else []


def _as_kept(value: float | None, expression: Any, connection: Any) -> float | None:
    return None if value is None else float(np.float32(value))


def wide(body: dict[str, Any], columns: dict[str, models.Field]) -> None:
    """Add ``columns`` to a model's class body: one set for each variable of the catalogue."""
    for name, field in columns.items():
        body[name] = field
