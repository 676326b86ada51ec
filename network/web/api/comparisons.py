"""GET /api/stations/<id>/comparisons: what the neighbours lead one to expect, and how far a station departs."""

from collections.abc import Iterator
from typing import Any

import numpy as np
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.models import Comparison
from network.models.storage import Floats, read
from network.pipeline.ledger import blocks
from network.pipeline.neighbours.frames import Use, frames
from network.science.variables import MAPPED
from network.web.api import told
from network.web.api.asked import Span
from network.web.api.resource import Resource
from network.web.api.shapes import PageShape, described
from stations.models import Station


class ComparedShape(serializers.Serializer):
    """Of rain, what fell in the hour; of all else, the mean of the ten minutes."""

    observed = serializers.FloatField(allow_null=True)
    expected = serializers.FloatField(allow_null=True)
    departure = serializers.FloatField(help_text="Observed minus expected.")
    standard_error = serializers.FloatField(help_text="Of what is expected.")
    unit = serializers.CharField()


class ComparisonShape(serializers.Serializer):
    at = serializers.DateTimeField(help_text="End of the ten minutes.")
    compared = serializers.DictField(child=ComparedShape(), help_text="By variable.")


class ComparisonsShape(PageShape):
    comparisons = ComparisonShape(many=True)


class ComparisonSpan(Span):
    usual = 144
    most = 432


class Comparisons(Resource):
    @described("comparisons", "A station beside its neighbours", ComparisonSpan, ComparisonsShape)
    def get(self, request: Request, pk: int) -> Response:
        """Ten minutes each, leaving this station out of what is expected of it."""
        station, asked = self.station(pk), self.asked(ComparisonSpan)
        times = Comparison.objects.filter(station=station).values_list("at", flat=True)
        page = told.page(times, asked, begins=False)
        names, units = [name for name in asked["variables"] if name in MAPPED], asked["units"]
        columns = (*names, *(f"{name}_error" for name in names))
        rows = read(Comparison, [station.pk], page.first, page.stop, columns)
        compared = _compared(station, rows.at, rows.columns, names, units) if len(rows) else ()
        zone = station.village.clock
        return self.answer(
            {
                "station": station.pk,
                "variables": told.variables(names, units),
                "next": self.next_page(page, station.village),
                "comparisons": [
                    {"at": told.moment(at, zone), "compared": said}
                    for at, said in zip(rows.at.tolist(), compared, strict=True)
                    if said
                ],
            },
            asked["to"],
        )


def _compared(
    station: Station, at: np.ndarray, columns: dict[str, Floats], names: list[str], units: dict[str, str]
) -> Iterator[dict[str, Any]]:
    """What is said of each frame, by variable."""
    observed = _observed(station, at, names)
    told_of = {
        name: list(
            zip(
                told.values(observed[name], name, units[name]),
                told.values(observed[name] - columns[name], name, units[name]),
                told.differences(columns[name], name, units[name]),
                told.differences(told.as_shown(columns[f"{name}_error"], station), name, units[name]),
                strict=True,
            )
        )
        for name in names
    }
    keys = ("observed", "expected", "departure", "standard_error")
    for i in range(len(at)):
        yield {
            name: dict(zip(keys, said[i], strict=True)) | {"unit": units[name]}
            for name, said in told_of.items()
            if said[i][2] is not None
        }


def _observed(station: Station, at: np.ndarray, names: list[str]) -> dict[str, Floats]:
    """The station's own value in each frame, as it was compared: from good readings where there are any."""
    first, last = int(at[0]) - blocks.FRAME, int(at[-1])
    seen = frames(station.village, first, last, station=station.pk)
    index = (at - int(seen.at[0])) // blocks.FRAME
    result = {}
    for name in names:
        trusted, said = seen.values(name, Use.COMPARED), seen.values(name, Use.ALL)
        best = np.where(np.isfinite(trusted), trusted, said)
        # The stretches of one station follow each other, so at most one has a value.
        result[name] = np.fmax.reduce(best, axis=0, initial=np.nan)[index]
    return result
