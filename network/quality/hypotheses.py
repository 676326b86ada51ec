"""What numbers may be taken for: another unit, or a decimal point where it does not belong."""

from dataclasses import dataclass

from network.quality.window import Floats
from network.science.units import convert, sign
from network.science.variables import VARIABLES


@dataclass(frozen=True)
class Hypothesis:
    """The numbers are in one unit, and we read them as if they were in another."""

    unit: str
    read_as: str

    def words(self) -> str:
        return f"{sign(self.unit)} (we read it as {sign(self.read_as)})"

    def mended(self, values: Floats, canonical: str) -> Floats:
        """The true values if this is so, in the catalogue's unit, shape (n,)."""
        return convert(convert(values, canonical, self.read_as), self.unit, canonical)


@dataclass(frozen=True)
class DecimalPoint:
    """The numbers, in the unit usually shown, are so many times too large."""

    factor: float
    shown_unit: str

    def words(self) -> str:
        return f"read with the decimal point {PLACES[self.factor]} off"

    def mended(self, values: Floats, canonical: str) -> Floats:
        """The true values if this is so, in the catalogue's unit, shape (n,)."""
        return convert(convert(values, canonical, self.shown_unit) / self.factor, self.shown_unit, canonical)


HYPOTHESES = {
    "air_temperature": (
        Hypothesis("[degF]", read_as="Cel"),
        Hypothesis("Cel", read_as="[degF]"),
        Hypothesis("K", read_as="Cel"),
    ),
    "station_pressure": (
        Hypothesis("[in_i'Hg]", read_as="hPa"),
        Hypothesis("mm[Hg]", read_as="hPa"),
        Hypothesis("kPa", read_as="hPa"),
        Hypothesis("Pa", read_as="hPa"),
    ),
    "wind_speed": (
        Hypothesis("[mi_i]/h", read_as="m/s"),
        Hypothesis("km/h", read_as="m/s"),
        Hypothesis("[kn_i]", read_as="m/s"),
        Hypothesis("m/s", read_as="km/h"),
        Hypothesis("m/s", read_as="[mi_i]/h"),
    ),
    "rain_amount": (Hypothesis("[in_i]", read_as="mm"), Hypothesis("mm", read_as="[in_i]")),
}
FACTORS: dict[str, tuple[float, ...]] = {
    "air_temperature": (10.0, 0.1),
    "relative_humidity": (0.01,),
    "station_pressure": (10.0, 0.1, 0.01),
    "wind_speed": (10.0,),
    "rain_amount": (),  # a cloudburst over one end of the village is ten times the others' rain
}
"""How many times too large the numbers may be, with the decimal point where it does not belong."""

PLACES = {10.0: "one place", 0.1: "one place", 0.01: "two places"}


def hypotheses(variable: str) -> list[Hypothesis | DecimalPoint]:
    """All that may be amiss with the numbers of a variable."""
    shown = VARIABLES[variable].shown_unit
    points = [DecimalPoint(factor, shown) for factor in FACTORS[variable]]
    return [*HYPOTHESES.get(variable, ()), *points]
