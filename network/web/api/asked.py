"""What readers may ask: each parameter is declared once, which checks it and documents it."""

import time
from datetime import datetime
from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from network.pipeline.ledger import blocks
from network.science.units import UnknownUnit, find
from network.science.variables import MAPPED, VARIABLES

SHOWN, CANONICAL = "shown", "canonical"
LAST = 32503680000
"""[UTC epoch s] The year 3000: later times are taken as this, and those before 1970 as 1970."""


class Question(serializers.Serializer):
    """Query parameters. A name nobody knows is refused: a misspelt one would silently ask something else."""

    def to_internal_value(self, data: Any) -> Any:
        for name in data:
            if name not in self.fields and name != "format":
                raise serializers.ValidationError(
                    {name: f"There is no such parameter; there are {', '.join(self.fields) or 'none'}."}
                )
        return super().to_internal_value(data)


@extend_schema_field(OpenApiTypes.DATETIME)
class Moment(serializers.Field):
    """A moment in ISO 8601 with its offset; inside, UTC epoch seconds."""

    default_error_messages = {
        "unreadable": "{given!r} is not a time like 2026-06-01T12:00:00Z.",
        "no_offset": "{given!r} has no offset: put Z behind it if it is UTC, or +02:00 and the like.",
    }

    def to_internal_value(self, data: str) -> int:
        try:
            # In a query string a bare + is a blank, and Python takes any sign between date and time.
            moment = datetime.fromisoformat(data.strip().replace(" ", "+"))
        except ValueError:
            self.fail("unreadable", given=data[:40])
        if moment.tzinfo is None:
            self.fail("no_offset", given=data[:40])
        return min(max(int(moment.timestamp()), 0), LAST)


@extend_schema_field(OpenApiTypes.STR)
class Variables(serializers.Field):
    """Names of variables with commas between."""

    default_error_messages = {"unknown": "There is no variable {given!r}: use some of {known}."}

    def to_internal_value(self, data: str) -> tuple[str, ...]:
        names = [name.strip() for name in data.split(",") if name.strip()]
        for name in names:
            if name not in VARIABLES:
                self.fail("unknown", given=name[:40], known=", ".join(VARIABLES))
        return tuple(name for name in VARIABLES if name in names) or tuple(VARIABLES)


@extend_schema_field({"type": "string", "enum": list(MAPPED)})
class Mapped(serializers.Field):
    """The name of a variable that has a map."""

    default_error_messages = {
        "unknown": "There is no map of {given!r}: use one of {known}.",
        "required": f"Say which map: one of {', '.join(MAPPED)}.",
    }

    def to_internal_value(self, data: str) -> str:
        if data not in MAPPED:
            self.fail("unknown", given=data[:40], known=", ".join(MAPPED))
        return data


def mapped() -> Mapped:
    """The parameter ``variable`` of what is drawn."""
    return Mapped(help_text=f"One of {', '.join(MAPPED)}.")


@extend_schema_field(OpenApiTypes.STR)
class Units(serializers.Field):
    """'shown', 'canonical' or unit symbols with commas between; inside, a unit for every variable."""

    default_error_messages = {
        "unknown": "{problem}",
        "unfit": "No variable is measured in {given!r}.",
    }

    def to_internal_value(self, data: str) -> dict[str, str]:
        units = {name: variable.shown_unit for name, variable in VARIABLES.items()}
        if data == CANONICAL:
            return {name: variable.unit for name, variable in VARIABLES.items()}
        for given in data.split(",") if data != SHOWN else ():
            try:
                unit = find(given)
            except UnknownUnit as problem:
                self.fail("unknown", problem=problem)
            fitting = [name for name, v in VARIABLES.items() if find(v.unit).dimension == unit.dimension]
            if not fitting:
                self.fail("unfit", given=given[:40])
            units |= dict.fromkeys(fitting, unit.symbol)
        return units


def units() -> Units:
    """The parameter ``units``, as every resource with values has it."""
    return Units(
        default=lambda: {name: variable.shown_unit for name, variable in VARIABLES.items()},
        help_text="'shown' (the default: °C, %, hPa ...), 'canonical' (K, 1, Pa ...), or UCUM symbols with"
        " commas between, such as [degF],[mi_i]/h: each for the variables it fits.",
    )


class Span(Question):
    """A span of time and how much of it to tell at once."""

    most = 2016
    usual = 288
    begins = False
    """Whether times mark the beginnings of what is asked for, rather than ends of periods measured."""

    to = Moment(required=False, help_text="Until when, ISO 8601 with offset; now when left out.")
    variables = Variables(default=tuple(VARIABLES), help_text="Names with commas between; all when left out.")
    units = units()

    def get_fields(self) -> dict[str, serializers.Field]:
        since = Moment(
            required=False, help_text="From when, ISO 8601 with offset; a day before 'to' when left out."
        )
        limit = serializers.IntegerField(
            default=self.usual,
            min_value=1,
            max_value=self.most,
            help_text=f"How many times to tell at once, {self.most} at most; 'next' leads on.",
            error_messages={
                "max_value": f"{self.most} at once is the most: ask for fewer and follow 'next'.",
                "min_value": "Ask for at least one.",
                "invalid": "This is not a whole number.",
            },
        )
        return {"from": since, **super().get_fields(), "limit": limit}

    def validate(self, asked: dict[str, Any]) -> dict[str, Any]:
        asked.setdefault("to", int(time.time()))
        asked.setdefault("from", asked["to"] - blocks.DAY)
        if asked["from"] >= asked["to"]:
            raise serializers.ValidationError({"from": "This is not before 'to': are the two swapped?"})
        return asked
