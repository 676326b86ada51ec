"""GET /api/stations/<id>/summaries: hours and village days of good readings, with the counts behind them."""

from datetime import tzinfo
from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.models import Summary
from network.web.api import told
from network.web.api.asked import Span
from network.web.api.resource import Resource
from network.web.api.shapes import PageShape, described

FIGURES = ("mean", "low", "high", "total")


class SummaryShape(serializers.Serializer):
    begins_at = serializers.DateTimeField()
    variable = serializers.CharField()
    unit = serializers.CharField()
    mean = serializers.FloatField(
        allow_null=True, help_text="Null when fewer than two thirds of the readings are good."
    )
    low = serializers.FloatField(allow_null=True)
    high = serializers.FloatField(allow_null=True)
    total = serializers.FloatField(allow_null=True, help_text="Of amounts only.")
    good = serializers.IntegerField(help_text="Good readings, on which the figures stand.")
    reports = serializers.IntegerField(help_text="Readings of any verdict.")


class SummariesShape(PageShape):
    span = serializers.ChoiceField(Summary.Span.choices)
    summaries = SummaryShape(many=True)


class SummarySpan(Span):
    begins = True
    usual = 168
    most = 744
    span = serializers.ChoiceField(
        Summary.Span.values,
        default="hour",
        help_text="Hours of UTC, or days of the village's clock.",
        error_messages={"invalid_choice": "'{input}' is no span: use one of hour, day."},
    )


class Summaries(Resource):
    @described("summaries", "Hours and days", SummarySpan, SummariesShape)
    def get(self, request: Request, pk: int) -> Response:
        """Hours or days that begin from 'from' on and before 'to'."""
        station, asked = self.station(pk), self.asked(SummarySpan)
        names, units = asked["variables"], asked["units"]
        kept = Summary.objects.filter(station=station, span=asked["span"], variable__in=names)
        page = told.page(kept.values_list("begins_at", flat=True), asked, begins=True)
        kept = kept.filter(begins_at__gte=page.first, begins_at__lt=page.stop)
        return self.answer(
            {
                "station": station.pk,
                "variables": told.variables(names, units),
                "next": self.next_page(page, station.village),
                "span": asked["span"],
                "summaries": [
                    _summary(one, units[one.variable], station.village.clock)
                    for one in kept.order_by("begins_at", "variable")
                ],
            },
            asked["to"],
        )


def _summary(one: Summary, unit: str, zone: tzinfo) -> dict[str, Any]:
    kept = [getattr(one, figure) for figure in FIGURES]
    figures = told.values([float("nan") if value is None else value for value in kept], one.variable, unit)
    return {
        "begins_at": told.moment(one.begins_at, zone),
        "variable": one.variable,
        "unit": unit,
        **dict(zip(FIGURES, figures, strict=True)),
        "good": one.good,
        "reports": one.reports,
    }
