"""Calibrations: what a keeper may tell about a sensor, and how its numbers become a quantity.

One file holds one kind or a family of them. To add a kind, write its file and name it here: forms and the API
read the rest from its entry.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.science.calibration import board, curve, divider, light, rotor, tips
from network.science.calibration.kind import Input, Kind, Parameter, Parameters, WrongCalibration

__all__ = ["KINDS", "Kind", "Parameter", "WrongCalibration", "apply", "check", "input_unit"]

KINDS: dict[str, Kind] = {
    kind.name: kind for kind in (*curve.KINDS, divider.KIND, rotor.KIND, tips.KIND, board.KIND, *light.KINDS)
}
"""Every kind by name, in the order a form offers them."""


def apply(kind: str, parameters: Parameters, values: ArrayLike, seconds: ArrayLike) -> NDArray[np.float64]:
    """Numbers as sent, turned into the variable's canonical unit.

    Parameters
    ----------
    kind : str
        A name in ``KINDS``.
    parameters : mapping
        By the names the kind lists; defaults stand for what is left out.
    values : array_like, shape (n,)
        In the unit that ``input_unit`` names.
    seconds : array_like, shape (n,)
        [s since 1970, UTC] Times of the values, in any order.

    Returns
    -------
    ndarray, shape (n,)
        NaN where a value is missing, or where the calibration has no answer for it.

    Raises
    ------
    WrongCalibration
        With a sentence for the keeper.
    """
    values = np.asarray(values, dtype=np.float64)
    return _kind(kind).apply(parameters, values, np.asarray(seconds, dtype=np.int64))


def check(kind: str, parameters: Parameters) -> None:
    """Raise WrongCalibration, with a sentence for the keeper, unless the parameters can be applied."""
    _kind(kind).check(parameters)


def input_unit(kind: str, parameters: Parameters) -> Input:
    """Unit in which a calibration takes its values; "same" is the variable's canonical unit."""
    found = _kind(kind)
    return found.input_given(found.completed(parameters)) if found.input_given else found.input


def _kind(name: str) -> Kind:
    if name not in KINDS:
        raise WrongCalibration(f"'{name}' is not a kind of calibration: use one of {', '.join(KINDS)}.")
    return KINDS[name]
