"""Which stations, variable and days a reader wants side by side."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, QueryDict

from network.pipeline.metadata.stretches import PARENTS
from network.science.variables import VARIABLES
from network.web.moment import beginning, read_day
from stations.models import Instrument, Station, Village

MOST = 10
"""So many lines can still be told apart: each has strokes of its own in compare.css."""

LONGEST = 366
"""[days]"""

USUAL = 30
"""[days]"""

OFFERED = tuple(
    name for name in VARIABLES if name not in {"station_pressure", "battery_voltage", "light_level"}
)
"""Those that two places share: not what goes with a height, a battery or a scale of one's own."""

NEEDS = {"dew_point": ("air_temperature", "relative_humidity")} | {
    name: (parent,) for name, parent in PARENTS.items() if name != "dew_point"
}
"""The instruments a derived variable is made from."""


@dataclass(frozen=True)
class Asked:
    """Everything the address says; the first station is the one the others are held against."""

    village: Village
    stations: tuple[Station, ...]
    variable: str
    variables: tuple[str, ...]  # that all of the stations measure
    first: date
    last: date
    only_good: bool

    @property
    def enough(self) -> bool:
        return len(self.stations) > 1 and bool(self.variables)

    @property
    def span(self) -> tuple[int, int]:
        """Midnights around the days [UTC epoch s]."""
        zone = self.village.clock
        return beginning(self.first, zone), beginning(self.last + timedelta(days=1), zone)

    @property
    def days(self) -> int:
        return (self.last - self.first).days + 1

    def query(self, **changed: Any) -> str:
        """The query string of the same question with something changed."""
        one = replace(self, **changed)
        said = {
            "stations": ",".join(str(station.pk) for station in one.stations),
            "variable": one.variable,
            "from": one.first,
            "to": one.last,
        } | ({} if one.only_good else {"readings": "all"})
        return urlencode(said, safe=",")


def asked(query: QueryDict, village: Village, open_stations: Sequence[Station], today: date) -> Asked:
    """Read ``?stations=3,5&variable=..&from=..&to=..``; without days the thirty up to ``today``. Raises Http404."""
    stations = _stations(query, {station.pk: station for station in open_stations})
    variables = measured_by_all(stations)
    variable = query.get("variable", "")
    if variable and variable not in OFFERED:
        raise Http404(f"'{variable[:40]}' cannot be compared: use one of {', '.join(OFFERED)}.")
    if variable not in variables:
        variable = variables[0] if variables else "air_temperature"
    last = read_day(query["to"]) if query.get("to") else today
    first = read_day(query["from"]) if query.get("from") else last - timedelta(days=USUAL - 1)
    if first > last:
        raise Http404("The first day lies after the last: are the two swapped?")
    if (last - first).days >= LONGEST:
        raise Http404(f"{LONGEST} days at once is the most: ask for fewer.")
    return Asked(
        village, tuple(stations), variable, variables, first, last, query.get("readings", "good") != "all"
    )


def _stations(query: QueryDict, known: dict[int, Station]) -> list[Station]:
    """The stations named, in order, each once; with commas between or each by itself."""
    named = [text.strip() for part in query.getlist("stations") for text in part.split(",") if text.strip()]
    for text in named:
        if not text.isdecimal() or int(text) not in known:
            raise Http404(f"There is no station '{text[:20]}' here that you may look at.")
    stations = list(dict.fromkeys(known[int(text)] for text in named))
    if len(stations) > MOST:
        raise Http404(f"{MOST} stations at once is the most that can be told apart: leave some out.")
    return stations


def measured_by_all(stations: Sequence[Station]) -> tuple[str, ...]:
    """The variables that all of the stations have had an instrument for, in the catalogue's order."""
    having: dict[int, set[str]] = {station.pk: set() for station in stations}
    for station, variable in Instrument.objects.filter(station__in=stations).values_list(
        "station", "variable"
    ):
        having[station].add(variable)
    shared = set.intersection(*having.values()) if having else set()
    return tuple(name for name in OFFERED if shared.issuperset(NEEDS.get(name, (name,))))
