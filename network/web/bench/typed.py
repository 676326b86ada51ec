"""Helpers that work with what a keeper typed."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from network.science import bench as found
from network.science.calibration.divider import full_scale
from network.science.units import convert, sign
from network.web.bench.helper import Bench, Found, NotFound
from stations import figures

Said = Mapping[str, Any]


def points(bench: Bench, said: Said) -> Found:
    """One comparison moves, two turn, three and more make a table."""
    read, true = np.array(said["points"]).T
    variable, unit = bench.variable, sign(bench.variable.shown_unit)
    if len(read) > 2:
        table = sorted([float(a), float(b)] for a, b in said["points"])
        parameters = figures.kept_parameters(variable, "table", {"points": table})
        words = f"A table of {len(table)} points; between them straight lines, outside them nothing."
        return Found("table", parameters, words, f"compared at {len(table)} points")
    line = found.points_line(read, true)
    if not np.isfinite(line.gain) or line.gain <= 0:
        raise NotFound(
            "The two comparisons need two readings that differ, the warmer of the two the warmer truth."
        )
    told = {"gain": float(f"{line.gain:.5g}"), "offset": float(f"{line.offset:.4g}")}
    parameters = figures.kept_parameters(variable, "gain_offset", told)
    moved = f"{abs(line.offset):.2g} {unit} {'higher' if line.offset > 0 else 'lower'}"
    if len(read) == 1:
        words = (
            f"All readings become {moved}. A second comparison, far from the first, would tell its slope too."
        )
    else:
        words = f"Readings are multiplied by {line.gain:.4g}, and then become {moved}."
    pairs = "; ".join(f"{a:g} was {b:g} {unit}" for a, b in said["points"])
    return Found("gain_offset", parameters, words, f"compared: {pairs}"[:200])


def meter(bench: Bench, said: Said) -> Found:
    """The ratio of a divider from one reading at the battery."""
    told: dict[str, Any] = {}
    if "bits" in said:
        highest = full_scale(said["bits"])
        step = said["reference_voltage"] / highest
        at_pin = said["said"] * step
        told = {"bits": int(said["bits"]), "reference_voltage": said["reference_voltage"]}
    else:
        at_pin, step = float(convert(said["said"], bench.channel.unit, "V")), 0.0
    ratio = found.divider_ratio(at_pin, said["battery"], step)
    if ratio.value <= 1:
        raise NotFound(
            "The battery would be weaker than what the pin sees. Is the count, or the reference voltage, a different one?"
        )
    upper = found.upper_resistance(ratio.value, said["lower_resistance"])
    parameters = told | {
        "upper_resistance": float(f"{upper:.6g}"),
        "lower_resistance": said["lower_resistance"],
    }
    words = (
        f"A volt at the pin is {ratio.value:.3f} ± {ratio.error:.3f} V of battery; "
        f"the resistor above is then {upper:,.0f} Ω."
    )
    return Found(
        "divider", parameters, words, f"{said['battery']:g} V by a multimeter while it said {said['said']:g}"
    )


def drive(bench: Bench, said: Said) -> Found:
    """The factor of a rotor from a drive-by."""
    runs = np.array(said["points"])
    speed = np.unique(runs[:, 0])
    # There and back first become one: the wind along the road then falls out of the pulses.
    frequency = np.array([runs[runs[:, 0] == each, 1].mean() for each in speed])
    return _rotor(
        bench, said, speed / 3.6, frequency, found.DRIVE_ERROR, "by driving at known speeds there and back"
    )


def reference(bench: Bench, said: Said) -> Found:
    """The factor of a rotor from a better instrument beside it."""
    speed, frequency = np.array(said["points"]).T
    return _rotor(bench, said, speed, frequency, 0.3, "beside a reference instrument")


def litre(bench: Bench, said: Said) -> Found:
    """Rain for each tip, from water poured slowly."""
    area = said["area"] or found.funnel_area(said["diameter"])
    tip = found.millimetres_per_tip(said["millilitres"], said["tips"], area)
    if not 0.01 < tip.value < 5:
        raise NotFound(f"That would be {tip.value:.3g} mm for each tip. Is the funnel's size in centimetres?")
    parameters = {"millimetres_per_tip": float(f"{tip.value:.4g}"), "counts": said["counts"]}
    if said["counts"] == "total" and bench.figure("modulus"):
        parameters["modulus"] = bench.figure("modulus")
    words = f"Each tip is {tip.value:.3f} ± {tip.error:.3f} mm of rain."
    return Found(
        "tips",
        parameters,
        words,
        f"{said['millilitres']:g} mL poured slowly gave {said['tips']:g} tips over {area:.0f} cm²",
    )


def board(bench: Bench, said: Said) -> Found:
    """A wet board, from its two ends."""
    parameters = {"dry": said["dry"], "wet": said["wet"]}
    return Found(
        "wet_board", parameters, f"Dry is {said['dry']:g}, wet is {said['wet']:g}.", "wiped dry, then wetted"
    )


def rotor_parameters(bench: Bench, said: Said, factor: float, offset: float) -> dict[str, Any]:
    """A rotor's parameters, its threshold as it was."""
    parameters = {"metres_per_pulse": float(f"{factor:.4g}"), "offset": float(f"{offset:.3g}")}
    parameters["threshold"] = bench.figure("threshold", 0.0)
    return parameters | ({"period": said["period"]} if said.get("period") else {})


def _rotor(bench: Bench, said: Said, speed: Any, frequency: Any, error: float, how: str) -> Found:
    factor, offset = found.rotor_line(frequency, speed, error)
    words = f"A pulse is {factor.value:.3f} ± {factor.error:.3f} m of wind"
    if np.isfinite(offset.error):
        words += f", and the line meets zero pulses at {offset.value:.2f} ± {offset.error:.2f} m/s"
    parameters = rotor_parameters(bench, said, factor.value, offset.value)
    count = f"{len(speed)} speed{'s' if len(speed) > 1 else ''}"
    return Found("rotor", parameters, f"{words}.", f"{how}: {count}")
