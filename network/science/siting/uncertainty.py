"""What a siting class adds to the uncertainty of a measurement."""

from network.science.variables import Variable

_TEMPERATURE = {1: 0.0, 2: 0.0, 3: 1.0, 4: 2.0, 5: 5.0}
"""[K] 'Up to' figures for classes 3 to 5: Météo-France technical note 35B (2014), contents page."""

_WIND_SHARE = {1: 0.0, 2: 0.3, 3: 0.5, 4: 0.6, 5: 1.0}
"""Share of the speed, WMO-No. 8 annex 1.D: from memory, not verified."""

_TYPICAL_WIND = 3.0
"""[m/s] What the shares are taken of here: a common village wind."""

_RAIN_SHARE = {1: 0.0, 2: 0.05, 3: 0.25, 4: 0.5, 5: 1.0}
"""Share of the amount, upper ends of WMO-No. 8 annex 1.D: from memory, percentages uncertain."""

_TYPICAL_RAIN = 0.4
"""[mm] In one report of a light shower."""

_NOT_KNOWN = 3
"""The class to assume where nobody has looked: common practice."""


def added_uncertainty(variable: Variable, siting_class: int | None) -> float:
    """Standard error that the siting adds [the variable's unit].

    Half of the 'up to' figure of the class: a bound read as two standard errors. Variables without a
    classification of their own get nothing added.
    """
    known = siting_class or _NOT_KNOWN
    if variable.name in ("air_temperature", "dew_point"):
        return _TEMPERATURE[known] / 2
    if variable.name in ("wind_speed", "wind_gust"):
        return _WIND_SHARE[known] * _TYPICAL_WIND / 2
    if variable.name == "rain_amount":
        return _RAIN_SHARE[known] * _TYPICAL_RAIN / 2
    return 0.0
