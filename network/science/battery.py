"""Batteries: how full one is by its voltage at rest, for the kinds that small stations run on.

Only a battery that neither charges nor gives much tells its charge by its voltage, and only after hours: the time to
ask is before dawn. The tables are of new batteries at room temperature. A battery's own data sheet goes before them.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True)
class Chemistry:
    """One kind of battery. Voltages [V] are of a single cell."""

    words: str
    charge: tuple[float, ...]
    """[1] Rising from 0 to 1."""
    volts: tuple[float, ...]
    """At rest, for each ``charge``; rising."""
    lowest: float
    """Below it the load should be cut off, or the cell suffers."""
    doubt: float
    """[1] Standard error of a charge told by voltage, good meter and rest given."""
    named: tuple[str, ...]
    """What a description of it would contain, in lower case."""
    source: str


CHEMISTRIES = {
    "lead_acid": Chemistry(
        words="lead-acid battery",
        charge=(0.0, 0.25, 0.5, 0.75, 1.0),
        volts=(11.6 / 6, 12.0 / 6, 12.2 / 6, 12.4 / 6, 12.6 / 6),
        lowest=11.0 / 6,
        doubt=0.15,
        named=("lead", "agm", "sealed acid", "gel battery"),
        source="rule of thumb for flooded batteries, read second-hand; tables differ by 0.2 of the charge",
    ),
    "lithium_ion": Chemistry(
        words="lithium-ion battery",
        charge=(0.0, 0.0151, 0.0452, 0.0955, 0.1508, 0.2915, 0.4573, 0.8342, 0.9497, 1.0),
        volts=(2.5061, 2.8981, 3.1461, 3.3231, 3.4218, 3.5737, 3.7017, 4.0637, 4.1009, 4.1932),
        lowest=3.1,
        doubt=0.08,
        named=("lithium", "li-ion", "liion", "lipo", "li-po", "18650"),
        source="Sunil, Pattipati and Balasingam (2025), table of one cell at C/32, both ways averaged",
    ),
    "lithium_iron_phosphate": Chemistry(
        words="lithium iron phosphate battery",
        charge=(0.0, 0.0033, 0.0117, 0.0267, 0.0534, 0.0885, 0.2972, 0.9833, 0.995, 1.0),
        volts=(2.0102, 2.4177, 2.7405, 2.9299, 3.0872, 3.1942, 3.2772, 3.3511, 3.418, 3.5981),
        lowest=2.8,
        doubt=0.3,  # 0.07 V hold two thirds of the charge
        named=("phosphate", "lifepo", "lfp"),
        source="Sunil, Pattipati and Balasingam (2025), table of one cell at C/32, both ways averaged",
    ),
    "nickel_metal_hydride": Chemistry(
        words="nickel-metal hydride pack",
        charge=(0.0, 0.1, 0.25, 0.5, 0.75, 1.0),
        volts=(1.0, 1.2, 1.25, 1.28, 1.32, 1.4),
        lowest=1.0,
        doubt=0.3,
        named=("nickel", "nimh", "ni-mh", "hydride"),
        source="common practice, from memory; at rest it lies between 1.25 and 1.4 V (a maker's data sheet)",
    ),
}


CELLS = {
    "lead_acid": (3, 6),
    "lithium_ion": (1, 2, 3),
    "lithium_iron_phosphate": (1, 2, 4),
    "nickel_metal_hydride": range(2, 11),
}
"""How many cells in a row are usual."""

LEAD_ACID_FROM, LEAD_ACID_12_FROM = 5.6, 9.0
"""[V] What an undescribed battery of at least so much is taken for."""

LITHIUM_ION_AT_LEAST = 3.67
"""[V] A single lithium-ion cell rises above this when it is charged, one of iron phosphate does not."""

MAINS_FROM = 4.4
"""[V] From here to ``LEAD_ACID_FROM`` it is no battery but the five volts of a mains adapter."""


@dataclass(frozen=True)
class Battery:
    """A battery of so many cells of a chemistry."""

    chemistry: str
    cells: int
    told: bool = True
    """Whether a description says so; otherwise it is guessed from its voltage."""

    @property
    def kind(self) -> Chemistry:
        return CHEMISTRIES[self.chemistry]

    @property
    def lowest(self) -> float:
        """[V] What it must not fall below."""
        return self.kind.lowest * self.cells

    @property
    def words(self) -> str:
        volts = {"lead_acid": 2 * self.cells}.get(self.chemistry)
        return f"{volts} V {self.kind.words}" if volts else self.kind.words


def state_of_charge(volts: ArrayLike, battery: Battery) -> NDArray[np.float64]:
    """How full a battery at rest is, by its voltage.

    Parameters
    ----------
    volts : array_like, any shape
        [V]

    Returns
    -------
    ndarray, same shape
        [1] Between 0 and 1, never falling as the voltage rises; NaN where it is missing. Its standard error is
        the chemistry's ``doubt``; while it charges or works hard it is not to be believed at all.
    """
    cell = np.asarray(volts, dtype=np.float64) / battery.cells
    return np.interp(cell, battery.kind.volts, battery.kind.charge)


def recognise(volts: ArrayLike, description: str = "") -> Battery | None:
    """What battery this is, by its description and its voltages [V] over days, shape (n,), NaN where missing.

    None where there is no battery (mains), no voltage, or nothing to tell one kind from another.
    """
    volts = np.asarray(volts, dtype=np.float64)
    if not np.isfinite(volts).any():
        return None
    usual, highest = np.nanquantile(volts, [0.75, 0.98])
    told = _described(description.lower())
    if told is not None:
        full = np.interp(0.75, CHEMISTRIES[told].charge, CHEMISTRIES[told].volts)
        return Battery(told, min(CELLS[told], key=lambda cells: float(abs(cells * full - usual))))
    if usual >= LEAD_ACID_FROM:
        return Battery("lead_acid", 6 if usual >= LEAD_ACID_12_FROM else 3, told=False)
    if usual >= MAINS_FROM or highest < LITHIUM_ION_AT_LEAST:
        return None
    return Battery("lithium_ion", 1, told=False)


def _described(description: str) -> str | None:
    particular_first = ("lithium_iron_phosphate", "nickel_metal_hydride", "lead_acid", "lithium_ion")
    for name in particular_first:
        if any(word in description for word in CHEMISTRIES[name].named):
            return name
    return None
