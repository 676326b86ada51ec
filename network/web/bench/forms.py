"""What the helpers of the bench ask, one form each."""

from typing import Any

from django.core.exceptions import ValidationError

from network.science.units import sign
from network.web.bench.helper import BenchForm
from stations.figures import COUNTS
from stations.forms.calibration import PairList
from stations.forms.fields import Choice, Figure


def _above_zero(label: str, hint: str = "", *, required: bool = True, most: float = 1e6) -> Figure:
    return Figure(
        label=label,
        help_text=hint,
        required=required,
        min_value=1e-9,
        max_value=most,
        error_messages={"min_value": "More than zero.", "max_value": "That is too much: look at the unit."},
    )


class NoForm(BenchForm):
    """Nothing is asked: the readings tell."""


class PointsForm(BenchForm):
    """Pairs of what it said and what was true."""

    points = PairList(
        help_text="A line for each comparison: what it says before any calibration, a space, what is true.",
        error_messages={"required": "Write a line: what it said, a space, what was true."},
    )

    def begin(self) -> None:
        self.fields[
            "points"
        ].label = f"What it said, and what was true [{sign(self.bench.variable.shown_unit)}]"
        self.fields["points"].widget.attrs["placeholder"] = "0.6 0.0\n38.8 40.0"


class MeterForm(BenchForm):
    """One reading of a multimeter, and the resistor that can be read."""

    battery = _above_zero("What the multimeter shows at the battery [V]", most=100)
    said = _above_zero("What the board said at that time", "Its newest word stands here.")
    bits = Figure(
        label="Bits of the converter",
        required=False,
        min_value=1,
        max_value=24,
        help_text="10 counts to 1023, 12 to 4095.",
    )
    reference_voltage = _above_zero("Voltage of its highest count [V]", "Often 3.3.", required=False)
    lower_resistance = _above_zero(
        "Resistor between pin and ground [Ω]",
        "Only the ratio matters: leave 10000 if you cannot read it.",
        most=1e8,
    )

    def begin(self) -> None:
        bench = self.bench
        for name, usual in (("bits", 10), ("reference_voltage", 3.3), ("lower_resistance", 10000.0)):
            self.fields[name].initial = bench.figure(name, usual)
        if bench.lately.values.size:
            self.fields["said"].initial = float(f"{bench.lately.values[-1]:g}")
        unit = bench.channel.unit
        self.fields["said"].label += f" [{unit}]"
        if unit != "count":
            del self.fields["bits"], self.fields["reference_voltage"]

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if "bits" in self.fields and not (said.get("bits") and said.get("reference_voltage")):
            self.add_error("bits", "A count needs the converter's bits and its reference voltage.")
        return said


class RotorForm(BenchForm):
    """Speeds known beside pulses a second, a pair on each line."""

    unit = "m/s"
    points = PairList(
        help_text="A line for each: speed, a space, pulses a second.",
        error_messages={"required": "Write a line: the speed, a space, pulses a second."},
    )
    period = _above_zero(
        "Over how many seconds does the board count? [s]", "The length of the period of each count it sends."
    )

    def begin(self) -> None:
        self.fields["points"].label = f"Speed [{self.unit}], and pulses a second"
        if self.bench.channel.unit == "count":
            self.fields["period"].initial = self.bench.figure(
                "period", float(self.bench.station.report_every)
            )
        else:
            del self.fields["period"]

    def clean_points(self) -> list[list[float]]:
        points: list[list[float]] = self.cleaned_data["points"]
        if any(speed <= 0 or pulses <= 0 for speed, pulses in points):
            raise ValidationError("Speeds and pulses are more than zero.")
        return points


class DriveForm(RotorForm):
    """A car's speed beside the pulses, driven there and back."""

    unit = "km/h"

    def begin(self) -> None:
        super().begin()
        self.fields[
            "points"
        ].help_text = (
            "A line for each run: speed by satellite, a space, pulses a second. Every speed there and back."
        )
        self.fields["points"].widget.attrs["placeholder"] = "30 11.6\n30 12.2\n50 19.9\n50 19.5"


class NeighboursWindForm(BenchForm):
    """Only over how long a board counts, where it sends counts."""

    period = RotorForm.base_fields["period"]

    def begin(self) -> None:
        if self.bench.channel.unit == "count":
            self.fields["period"].initial = self.bench.figure(
                "period", float(self.bench.station.report_every)
            )
        else:
            del self.fields["period"]


class LitreForm(BenchForm):
    """Water poured slowly through a gauge."""

    millilitres = _above_zero("Water poured [mL]")
    tips = _above_zero("Tips counted")
    diameter = _above_zero("Diameter of the funnel, inside its rim [cm]", required=False)
    area = _above_zero("Or its opening, if it is not round [cm²]", required=False)
    counts = Choice(
        label="How does the board count?",
        choices=tuple(COUNTS.items()),
    )

    def begin(self) -> None:
        self.fields["millilitres"].initial = 1000
        self.fields["counts"].initial = self.bench.figure("counts", "period")

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if not self.errors and bool(said.get("diameter")) == bool(said.get("area")):
            self.add_error("diameter", "Write the diameter, or else the area: one of the two.")
        return said


class BoardForm(BenchForm):
    """A wet board, wiped dry and wetted."""

    dry = Figure(label="What it says wiped dry")
    wet = Figure(label="What it says under a film of water")

    def begin(self) -> None:
        for name in ("dry", "wet"):
            self.fields[name].initial = self.bench.figure(name)

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        if not self.errors and said["dry"] == said["wet"]:
            self.add_error("wet", "A board that says the same dry and wet tells nothing.")
        return said
