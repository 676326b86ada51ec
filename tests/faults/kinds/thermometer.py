"""What goes wrong with a thermometer, and the slow faults that a barometer and a hygrometer share with it.

A rest can be seen where the truth moves meanwhile: by 1 K, 10 % or 2 hPa. A thermometer that ends at 0 °C can be
seen on freezing nights (three hours below -1 °C), and a missing screen where the sun shines: 100 readings
that it warms by more than the instrument's standard error.
"""

import numpy as np

from tests.faults.kind import Inject, Kind, all_within
from tests.faults.kinds.readings import HOUR, shifted
from tests.faults.said import Bools, Said, in_unit_sent, rounded
from tests.faults.world import bare_minus_screened

SLOW = frozenset({"break_point", "offset", "drift", "departure", "step", "moved"})
REST = frozenset({"stuck", "still_alone"})
MOVED = {"air_temperature": 1.0, "relative_humidity": 10.0, "station_pressure": 2.0}
"""How far the truth must move while a sensor rests, in the unit sent."""


def stuck(variable: str) -> Inject:
    """The last value is said again and again."""

    def inject(said: Said, where: Bools, random: np.random.Generator) -> Said:
        return said.saying(where, **{variable: said.values[variable][np.argmax(where)]})

    return inject


def collapsed(variable: str) -> Inject:
    """Only a tenth of each change about the mean comes through."""

    def inject(said: Said, where: Bools, random: np.random.Generator) -> Said:
        values = said.values[variable]
        mean = np.nanmean(values[where])
        return said.saying(where, **{variable: rounded(variable, mean + 0.1 * (values - mean))})

    return inject


def noisy(variable: str, least: float, most: float) -> Inject:
    """Each reading is off by an amount of its own."""

    def inject(said: Said, where: Bools, random: np.random.Generator) -> Said:
        off = random.normal(0.0, random.uniform(least, most), said.seconds.size)
        values = rounded(variable, said.values[variable] + off)
        if variable == "relative_humidity":
            values = np.clip(values, 0.0, 100.0)
        return said.saying(where, **{variable: values})

    return inject


def drifting(variable: str, a_day: float) -> Inject:
    """Off by more and more, either way."""

    def inject(said: Said, where: Bools, random: np.random.Generator) -> Said:
        days = (said.seconds - said.seconds[np.argmax(where)]) / 86400.0
        off = a_day * random.choice([-1.0, 1.0]) * days
        return said.saying(where, **{variable: rounded(variable, said.values[variable] + off)})

    return inject


def ends_at_zero(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """No frost gets through: nobody wrote down that this sensor ends at 0 °C."""
    return said.saying(where, air_temperature=np.maximum(said.values["air_temperature"], 0.0))


def without_screen(said: Said, where: Bools, random: np.random.Generator) -> Said:
    """The louvres have fallen off."""
    warmed = said.values["air_temperature"] + bare_minus_screened(said)
    return said.saying(where, air_temperature=rounded("air_temperature", warmed))


def weather_moves(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether what rests ought to have moved."""
    for name, least in MOVED.items():
        if name in said.values and (said.values[name] != honest.values[name]).any():
            moved = np.ptp(in_unit_sent(name, honest.truth[name])[affected])
            return bool(moved >= least)
    return False


def freezing(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether a night was cold for three hours on end."""
    cold = in_unit_sent("air_temperature", honest.truth["air_temperature"]) < -1.0
    return int((cold & affected).sum()) >= 36


def sunny(honest: Said, said: Said, affected: Bools) -> bool:
    """Whether the sun warmed it often enough."""
    return int(affected.sum()) >= 100


def stuck_kind(variable: str, words: str, lasting: tuple[float, float]) -> Kind:
    """A rest of more than two hours."""
    return Kind(
        name=f"stuck {words}",
        variables=(variable,),
        lasting=lasting,
        inject=stuck(variable),
        right=REST,
        also=frozenset({"departure", "variance_collapsed", "saturated", "step", "spike"}),
        gross=True,
        affects=all_within,
        visible=weather_moves,
    )


def offset_kind(variable: str, words: str, size: float) -> Kind:
    """Off by one amount from one moment on."""
    return Kind(
        name=f"offset of {words}",
        variables=(variable,),
        lasting=(6.0, 8.0),
        inject=shifted(variable, size, size),
        right=frozenset({"offset", "break_point"}),
        also=SLOW,
        affects=all_within,
    )


KINDS = (
    offset_kind("air_temperature", "1 K", 1.0),
    Kind(
        name="drift of 1 K in 10 days",
        variables=("air_temperature",),
        lasting=(10.0, 11.0),
        inject=drifting("air_temperature", 0.1),
        right=frozenset({"drift"}),
        also=SLOW,
    ),
    stuck_kind("air_temperature", "temperature", (3 * HOUR, 12 * HOUR)),
    Kind(
        name="variance collapsed",
        variables=("air_temperature",),
        lasting=(1.5, 3.0),
        inject=collapsed("air_temperature"),
        right=REST | {"variance_collapsed"},
        also=SLOW,
        affects=all_within,
        visible=weather_moves,
    ),
    Kind(
        name="noise grown",
        variables=("air_temperature",),
        lasting=(0.5, 2.0),
        inject=noisy("air_temperature", 1.0, 2.0),
        right=frozenset({"noise", "spike"}),
        also=SLOW,
    ),
    Kind(
        name="pinned at 0 °C",
        variables=("air_temperature",),
        lasting=(2.0, 4.0),
        inject=ends_at_zero,
        right=REST | {"saturated", "range_end"},
        also=SLOW | {"variance_collapsed"},
        gross=True,
        visible=freezing,
        season="14",
    ),
    Kind(
        name="shield missing",
        variables=("air_temperature",),
        lasting=(6.0, 8.0),
        inject=without_screen,
        right=frozenset({"daytime_bias"}),
        also=SLOW | {"noise", "spike"},
        visible=sunny,
        season="234",
    ),
)
