"""GET /api/stations/<id>/observations: every reading with its verdict and the reasons for it."""

from collections.abc import Iterator
from typing import Any

import numpy as np
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.models import Observation
from network.models.storage import Rows, read
from network.pipeline.verdicts.steward import AT_WORK, THE_STEWARD
from network.quality.checks import CHECKS
from network.quality.verdict import VERDICT_WORDS
from network.web.api import told
from network.web.api.asked import Span
from network.web.api.resource import Resource
from network.web.api.shapes import PageShape, described


class ReadingShape(serializers.Serializer):
    value = serializers.FloatField(allow_null=True)
    unit = serializers.CharField(help_text="UCUM or SenML symbol.")
    verdict = serializers.ChoiceField(list(VERDICT_WORDS.values()))
    reasons = serializers.ListField(
        child=serializers.ChoiceField([*CHECKS, THE_STEWARD, AT_WORK]),
        help_text="Names of the checks that spoke; 'steward' where a steward had the last word, 'maintenance' where"
        " somebody was at work on the station.",
    )


class ObservationShape(serializers.Serializer):
    at = serializers.DateTimeField(help_text="End of the period measured.")
    readings = serializers.DictField(child=ReadingShape(), help_text="By variable.")


class ObservationsShape(PageShape):
    observations = ObservationShape(many=True)


class Observations(Resource):
    @described("observations", "What a station observed", Span, ObservationsShape)
    def get(self, request: Request, pk: int) -> Response:
        """Readings that end after 'from' and not later than 'to', by time."""
        station, asked = self.station(pk), self.asked(Span)
        times = Observation.objects.filter(station=station).values_list("observed_at", flat=True)
        page = told.page(times, asked, begins=False)
        names, units = asked["variables"], asked["units"]
        columns = (*names, *(f"{name}_mark" for name in names))
        rows = read(Observation, [station.pk], page.first, page.stop, columns)
        zone = station.village.clock
        readings = list(_readings(rows, names, units))
        return self.answer(
            {
                "station": station.pk,
                "variables": told.variables(names, units),
                "next": self.next_page(page, station.village),
                "observations": [
                    {"at": told.moment(at, zone), "readings": said}
                    for at, said in zip(rows.at.tolist(), readings, strict=True)
                    if said
                ],
            },
            asked["to"],
        )


def _readings(rows: Rows, names: tuple[str, ...], units: dict[str, str]) -> Iterator[dict[str, Any]]:
    """The readings of each row; what a station does not measure is not there."""
    shown = {name: told.values(rows.columns[name], name, units[name]) for name in names}
    marks = {name: np.nan_to_num(rows.columns[f"{name}_mark"], nan=-1).astype(int).tolist() for name in names}
    for i in range(len(rows)):
        said = {}
        for name in names:
            if (mark := marks[name][i]) >= 0:
                verdict, reasons = told.verdict(mark)
                said[name] = {
                    "value": shown[name][i],
                    "unit": units[name],
                    "verdict": verdict,
                    "reasons": reasons,
                }
        yield said
