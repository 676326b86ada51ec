"""What a kind of calibration is made of, and what is wrong with parameters that do not fit it."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

Parameters = Mapping[str, Any]
Values = NDArray[np.float64]
Seconds = NDArray[np.int64]
Input = Literal["same", "count", "1/s", "V", "lx"]
Form = Literal["number", "numbers", "pairs", "word"]

_FORMS = {"numbers": "a list of numbers", "pairs": "a list of pairs of numbers"}


class WrongCalibration(ValueError):
    """The parameters are not those of a calibration."""


@dataclass(frozen=True)
class Parameter:
    """One figure, list or word that a kind of calibration needs."""

    name: str
    unit: str  # "" for pure numbers and words, "same" for the variable's own unit
    help: str
    form: Form = "number"
    default: Any = None
    optional: bool = False
    above: float = -math.inf
    least: float = -math.inf
    most: float = math.inf
    choices: tuple[str, ...] = ()
    words: str = ""  # where its name says too little

    @property
    def label(self) -> str:
        """What a reader calls it."""
        return self.words or self.name.replace("_", " ")

    def fault(self, value: Any) -> str:
        """What is wrong with a value, as the end of a sentence that begins with the name; '' if nothing."""
        if value is None:
            return "" if self.optional else "is missing"
        if self.form == "word":
            return "" if value in self.choices else f"is one of {', '.join(self.choices)}, not {value!r}"
        if self.form != "number":
            return "" if _is_list(value, self.form) else f"is {_FORMS[self.form]}, not {value!r}"
        if not _is_number(value):
            return f"is a number, not {value!r}"
        if value <= self.above:
            return f"is above {self.above:g}, not {value!r}"
        if value < self.least:
            return f"is {self.least:g} at least, not {value!r}"
        return f"is {self.most:g} at most, not {value!r}" if value > self.most else ""


@dataclass(frozen=True)
class Kind:
    """One kind of calibration: what a keeper fills in, and the arithmetic."""

    name: str
    words: str
    input: Input  # the unit its values arrive in; "same" is the variable's canonical unit
    parameters: tuple[Parameter, ...]
    arithmetic: Callable[[Parameters, Values, Seconds], Values]
    objection: Callable[[Parameters], str] = lambda parameters: ""  # what is wrong between parameters
    input_given: Callable[[Parameters], Input] | None = None  # where the parameters decide the input

    def completed(self, parameters: Parameters) -> dict[str, Any]:
        """Every parameter, with its default where nothing is given."""
        return {each.name: parameters.get(each.name, each.default) for each in self.parameters}

    def check(self, parameters: Parameters) -> None:
        """Raise WrongCalibration, with a sentence for the keeper, unless the parameters fit."""
        if not isinstance(parameters, Mapping):
            raise WrongCalibration(f"'{self.name}' takes its figures by name, not {parameters!r}.")
        names = [each.name for each in self.parameters]
        for name in parameters:
            if name not in names:
                raise WrongCalibration(f"'{self.name}' has no '{name}': it takes {', '.join(names)}.")
        complete = self.completed(parameters)
        for each in self.parameters:
            if fault := each.fault(complete[each.name]):
                raise WrongCalibration(f"'{each.name}' {fault}. {each.help}")
        if objection := self.objection(complete):
            raise WrongCalibration(objection)

    def apply(self, parameters: Parameters, values: Values, seconds: Seconds) -> Values:
        """Values in the variable's unit; raises WrongCalibration like ``check``."""
        self.check(parameters)
        return self.arithmetic(self.completed(parameters), values, seconds)


LARGEST = 1e300  # a figure is finite


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and -LARGEST < value < LARGEST


def _is_list(value: Any, form: Form) -> bool:
    if not isinstance(value, list | tuple) or not value:
        return False
    if form == "numbers":
        return all(_is_number(each) for each in value)
    return all(_is_list(pair, "numbers") and len(pair) == 2 for pair in value)
