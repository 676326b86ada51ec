"""Columns the wide tables are made of."""

from typing import Any

import numpy as np
from django.db import models


class RealField(models.FloatField):
    """A single-precision number: 4 bytes on PostgreSQL, finer than any home instrument."""

    def db_type(self, connection: Any) -> str:
        return "real"

    def from_db_value(self, value: float | None, expression: Any, connection: Any) -> float | None:
        # PostgreSQL says a real in the fewest digits that tell it apart: as a double those are another number.
        return None if value is None else float(np.float32(value))


def wide(body: dict[str, Any], columns: dict[str, models.Field]) -> None:
    """Add ``columns`` to a model's class body: one set for each variable of the catalogue."""
    for name, field in columns.items():
        body[name] = field
