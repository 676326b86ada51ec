"""Which calibrations suit which channel, and whether a channel can be understood as it is."""

from collections.abc import Mapping
from typing import Any

from network.science.calibration import KINDS, Kind, WrongCalibration, check, input_unit
from network.science.units import UnknownUnit, WrongDimension, convert, units_for
from network.science.variables import VARIABLES, Variable
from stations.absurd import refuse_absurd
from stations.models import Calibration, Channel

RAW = ("count", "1/s")
"""Units that say nothing of the quantity: without a calibration they mean nothing."""

_RAW_KINDS = {
    "wind_speed": ("rotor",),
    "wind_gust": ("rotor",),
    "rain_amount": ("tips",),
    "surface_wetness": ("wet_board",),
    "light_level": ("light", "light_resistor", "light_lux"),
    "battery_voltage": ("divider",),
}
"""Kinds that make the variable of something else."""

_INPUTS = {"rotor": ("1/s", "count"), "divider": ("count",), "light_lux": ("lx",)}
_CURVES = tuple(name for name, kind in KINDS.items() if kind.input == "same")


def sent_units(variable: Variable) -> tuple[str, ...]:
    """Units a channel of the variable may send: its own, and those a calibration can make it of."""
    raw = [unit for kind in _RAW_KINDS.get(variable.name, ()) for unit in _INPUTS.get(kind, ("count",))]
    return (*units_for(variable), *dict.fromkeys(raw))


def kinds_for(channel: Channel) -> list[Kind]:
    """Calibrations to offer for a channel, the likeliest first."""
    variable = VARIABLES[channel.instrument.variable]
    special = [KINDS[name] for name in _RAW_KINDS.get(variable.name, ())]
    if must_be_calibrated(channel):
        return [kind for kind in special if channel.unit in _INPUTS.get(kind.name, ("count",))]
    at_the_pin = [kind for kind in special if kind.name == "divider"]
    return [*(KINDS[name] for name in _CURVES), *at_the_pin]


def must_be_calibrated(channel: Channel) -> bool:
    """Whether what the channel sends is not yet its variable."""
    variable = VARIABLES[channel.instrument.variable]
    try:
        convert(0.0, channel.unit, variable.unit)
    except (UnknownUnit, WrongDimension):
        return True
    return False


def not_understood(channel: Channel) -> bool:
    """Whether the channel still lacks the calibration without which it means nothing."""
    return must_be_calibrated(channel) and not channel.calibrations.all()


def refuse_unless_fitting(channel: Channel, kind: str, parameters: Mapping[str, Any]) -> None:
    """Raise WrongCalibration, with a sentence, unless the arithmetic takes what the channel sends."""
    check(kind, parameters)
    refuse_absurd(VARIABLES[channel.instrument.variable], kind, parameters)
    takes = input_unit(kind, parameters)
    if takes == "same":
        takes = VARIABLES[channel.instrument.variable].unit
    if takes == channel.unit:
        return
    if takes in RAW or channel.unit in RAW:
        raise WrongCalibration(_MISFITS.get((kind, channel.unit), _misfit(channel, takes)))
    try:
        convert(0.0, channel.unit, takes)
    except (UnknownUnit, WrongDimension) as problem:
        raise WrongCalibration(str(problem)) from problem


def of(channel: Channel) -> Calibration | None:
    """The calibration that holds now."""
    return channel.calibrations.order_by("-begins_at").first()


_MISFITS = {
    ("rotor", "count"): "The channel sends counts: say over how many seconds they were counted ('period').",
    ("rotor", "1/s"): "The channel sends pulses a second already: leave 'period' empty.",
    ("divider", "count"): "The channel sends counts: say the converter's 'bits' and 'reference_voltage'.",
    ("divider", "V"): "The channel sends volts: leave 'bits' and 'reference_voltage' empty.",
    ("divider", "mV"): "The channel sends volts: leave 'bits' and 'reference_voltage' empty.",
}


def _misfit(channel: Channel, takes: str) -> str:
    return (
        f"This calibration takes {takes}, but the channel sends {channel.unit}: change the one or the other."
    )
