"""What a helper of the bench is made of, and what it finds."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Self

from django import forms

from network.pipeline.records.beside import Said, newest, said
from network.science.variables import VARIABLES, Variable
from stations.calibrating import of
from stations.models import Calibration, Channel, Placement, Station

DAY = 86400


@dataclass
class Bench:
    """A channel on the bench: what holds now, and what it said lately."""

    station: Station
    channel: Channel
    place: Placement | None

    @property
    def variable(self) -> Variable:
        return VARIABLES[self.channel.instrument.variable]

    @cached_property
    def present(self) -> Calibration | None:
        return of(self.channel)

    @cached_property
    def lately(self) -> Said:
        """The last day of what it said."""
        return said(self.station, self.channel, DAY)

    @cached_property
    def now(self) -> float:
        return newest(self.station)

    def figure(self, name: str, otherwise: Any = None) -> Any:
        """A parameter of the calibration that holds now."""
        return self.present.parameters.get(name, otherwise) if self.present else otherwise


@dataclass(frozen=True)
class Found:
    """A calibration that a helper found, in the canonical unit, and how sure it is."""

    kind: str
    parameters: dict[str, Any]
    words: str  # what was found, with its uncertainty
    reason: str  # for the log


class NotFound(Exception):
    """Nothing could be found; the sentence says why, and what would help."""


class BenchForm(forms.Form):
    """What a helper asks; the channel's present figures stand in it already."""

    def __init__(self, *args: Any, bench: Bench, **options: Any) -> None:
        self.bench = bench
        super().__init__(*args, **options)
        self.begin()

    def begin(self) -> None:
        """Fill in what is known."""

    def as_begun(self) -> Self:
        """The form as if sent with what stands in it at first."""
        return type(self)({name: self[name].value() for name in self.fields}, bench=self.bench)


@dataclass(frozen=True)
class Helper:
    """One way to find the figures; ``name`` is in its address and names its drawing."""

    name: str
    asks: str
    explains: str
    form: type[BenchForm]
    work: Callable[[Bench, Mapping[str, Any]], Found]
    suits: Callable[[Channel], bool]
    cautions: tuple[str, ...] = ()
