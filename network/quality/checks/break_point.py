"""A station that from one hour on stands off its neighbours by another amount than before."""

from collections.abc import Iterator

from network.quality.check import Check, Thresholds
from network.quality.checks import moved
from network.quality.finding import Finding
from network.quality.record import Record
from network.quality.shifts import Shift, shifts
from network.quality.spans import COMPARED, in_unit
from network.quality.standing import standing


def seek(record: Record, thresholds: Thresholds) -> Iterator[Finding]:
    told: dict[str, list[Shift]] = {name: [] for name in COMPARED}
    moves = moved.CHECK.look_back(record)
    for variable, found in ((name, each) for name in COMPARED for each in shifts(record, name)):
        if not found.at_once or found.steady < thresholds["steady"] or moved.explains(moves, found):
            continue
        if found.ends_another(thresholds[variable]):
            continue
        tolerance = max(thresholds[variable], thresholds["errors"] * found.error)
        strain = abs(found.size) / tolerance
        if strain > 1.0 and not any(found.meets(other) for other in told[variable]):
            told[variable].append(found)
            size, error = in_unit(record, variable, found.begins_at, found.ends_at, found.size, found.error)
            hint = "until it was mended" if found.kind == "mended break" else "and has stayed so"
            yield Finding("break_point", variable, found.begins_at, found.ends_at, strain, size, error, hint)


CHECK = Check(
    name="break_point",
    bit=23,
    family="long run",
    source="Alexandersson (1986), standard normal homogeneity test, 99 % points of Khaliq and Ouarda (2007), read"
    " second-hand, with the memory of the series reckoned in; least sizes from common practice",
    thresholds={
        "errors": 3.0,  # standard errors of the size
        "steady": 0.5,  # share of the size that every quarter of the day must show
        "air_temperature": 0.6,  # least size, each in the variable's own unit
        "relative_humidity": 0.08,
        "station_pressure": 100.0,
        "wind_speed": 0.4,  # share of the expected wind
    },
    needs="departures from the neighbours over four days: two before the break, one and a half after",
    meaning="From one hour to the next the {variable} stood off its neighbours by {size} more than before, {hint}.",
    advice="Was something changed that day: the sensor, its place, its shield, its calibration? Then please note it."
    " If nothing was, the sensor may have failed.",
    judge=standing("break_point", corrects=True),
    seek=seek,
)
