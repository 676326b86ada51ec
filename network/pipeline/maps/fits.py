"""What is known of a variable's field when its maps are made: by spell of days and part of the day."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Self, cast

import numpy as np
from numpy.typing import NDArray

from network.models import FieldFit
from network.pipeline.ledger import blocks
from network.science.sun import solar_position
from network.science.variables import VARIABLES
from network.spatial.field import Field
from network.spatial.learnt import Learnt, Method
from network.spatial.liveliness import STEADY
from network.spatial.wind import component_field
from stations.models import Village

Part = FieldFit.Part

APART = ("air_temperature", "dew_point", "wind_speed")
"""Variables that lie otherwise over a village by day than by night. Rain and pressure do not ask for the sun."""

DIGITS = 4
"""Significant digits of a parameter: it is known to no more than two."""

Times = NDArray[np.intp]


@dataclass(frozen=True)
class Known:
    """The fits of a village over some spells."""

    village: Village
    rows: dict[tuple[str, str, int], Learnt]

    @classmethod
    def over(cls, village: Village, first: int, last: int) -> Self:
        """Those for frames that end within ``first`` .. ``last``."""
        found = FieldFit.objects.filter(
            village=village, begins_at__gte=spell_of(first), begins_at__lte=spell_of(last)
        )
        return cls(village, {(one.variable, one.part, one.begins_at): learnt_of(one) for one in found})

    def by_time(
        self, variable: str, at: Sequence[int] | NDArray[np.int64], parts: Sequence[str]
    ) -> list[tuple[Times, Learnt]]:
        """Frames (t,), each in a part of the day, by what is known: indices of those of one spell and part."""
        groups: dict[tuple[str, int], list[int]] = {}
        for t, (end, part) in enumerate(zip(at, parts, strict=True)):
            groups.setdefault((part, spell_of(end)), []).append(t)
        return [
            (np.array(which), self.rows.get((variable, *key)) or believed(variable))
            for key, which in groups.items()
        ]


def spell_of(at: int) -> int:
    """The beginning of the spell that a frame ending then lies in."""
    return (int(at) - 1) // blocks.SPELL * blocks.SPELL


def parts_of_day(at: NDArray[np.int64], village: Village) -> NDArray[np.str_]:
    """The part of the day that each frame lies in, by the sun over the village at its middle."""
    elevation, _ = solar_position(at - blocks.FRAME / 2, *village.centre)
    return np.where(elevation > 0, Part.DAY.value, Part.NIGHT.value)


def parts_of(variable: str, of_day: NDArray[np.str_]) -> NDArray[np.str_]:
    """The part by which a variable's frames are mapped: that of the day, where it makes a difference."""
    return of_day if variable in APART else np.full(of_day.shape, Part.ALL.value)


def believed(variable: str) -> Learnt:
    """What the catalogue says, of a village that has taught nothing yet; of wind, of one part of it."""
    entry = VARIABLES[variable].field
    if entry is None:
        raise ValueError(
            f"The catalogue describes no field of {VARIABLES[variable].words}, so it has no map."
        )
    field = Field.of(entry)
    return Learnt(component_field(field) if variable == "wind_speed" else field)


def row_of(village: Village, variable: str, part: str, spell: int, learnt: Learnt, frames: int) -> FieldFit:
    """The row that keeps what was learnt."""
    members = [(learnt.field, learnt.nugget), *(one for one in learnt.others)]
    return FieldFit(
        village=village,
        variable=variable,
        part=part,
        begins_at=spell,
        fields=[[_kept(field), _rounded(nugget)] for field, nugget in members],
        widening=_rounded(learnt.widen),
        steadiness=None if learnt.steadiness == STEADY else learnt.steadiness,
        root=learnt.root,
        slope=_rounded(learnt.slope),
        method=learnt.method,
        rmse=[_rounded(one) if np.isfinite(one) else None for one in learnt.rmse],
        frames=frames,
    )


def learnt_of(row: FieldFit) -> Learnt:
    """What a row keeps."""
    first, *others = [(Field(**field), nugget) for field, nugget in row.fields]
    return Learnt(
        field=first[0],
        nugget=first[1],
        widen=row.widening,
        root=row.root,
        slope=row.slope,
        method=cast(Method, row.method),
        rmse=tuple(np.nan if one is None else one for one in row.rmse),
        others=tuple(others),
        steadiness=STEADY if row.steadiness is None else row.steadiness,
    )


def _kept(field: Field) -> dict[str, float | str | list[float]]:
    """A field's parameters as far as they are not what every field has."""
    own = {one.name: getattr(field, one.name) for one in fields(Field)}
    usual = {one.name: one.default for one in fields(Field)}
    return {
        name: value if isinstance(value, str) else _figures(value)
        for name, value in own.items()
        if value != usual[name]
    }


def _figures(value: float | tuple[float, ...]) -> float | list[float]:
    return [_rounded(one) for one in value] if isinstance(value, tuple) else _rounded(value)


def _rounded(value: float) -> float:
    return float(f"{value:.{DIGITS}g}")
