"""Every kind of fault, by name, in the order of the table; a file for each part of a station that fails."""

from tests.faults.kind import Kind
from tests.faults.kinds import (
    barometer,
    clock,
    gauge,
    hygrometer,
    light,
    place,
    readings,
    rotor,
    supply,
    thermometer,
    transmission,
    units,
)

_FILES = (
    readings,
    units,
    thermometer,
    hygrometer,
    barometer,
    rotor,
    gauge,
    light,
    supply,
    clock,
    place,
    transmission,
)

KINDS: dict[str, Kind] = {kind.name: kind for file in _FILES for kind in file.KINDS}
