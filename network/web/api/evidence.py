"""GET /api/stations/<id>/evidence: what the checks saw, run by run."""

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.models import Evidence
from network.quality.checks import CHECKS, check_named
from network.quality.verdict import VERDICT_WORDS
from network.web.api import told
from network.web.api.asked import Span
from network.web.api.resource import Resource
from network.web.api.shapes import PageShape, described
from stations.models import Station


class RunShape(serializers.Serializer):
    """A run of readings of one variable about which one check spoke."""

    begins_at = serializers.DateTimeField(help_text="The first reading.")
    ends_at = serializers.DateTimeField(help_text="The last reading.")
    readings = serializers.IntegerField()
    variable = serializers.CharField()
    unit = serializers.CharField()
    check = serializers.ChoiceField(list(CHECKS))
    family = serializers.CharField()
    verdict = serializers.ChoiceField(list(VERDICT_WORDS.values()), help_text="The worst in the run.")
    strain = serializers.FloatField(help_text="The strongest contradiction, as a multiple of the tolerance.")
    observed = serializers.FloatField(allow_null=True, help_text="The reading where it was strongest.")
    expected = serializers.FloatField(allow_null=True)
    tolerance = serializers.FloatField(allow_null=True)
    advice = serializers.CharField(help_text="What its keeper can do.")


class RunsShape(PageShape):
    evidence = RunShape(many=True)


class EvidenceSpan(Span):
    begins = True


class StationEvidence(Resource):
    @described("evidence", "What the checks saw", EvidenceSpan, RunsShape)
    def get(self, request: Request, pk: int) -> Response:
        """Runs of doubtful or wrong readings that begin from 'from' on and before 'to', by time."""
        station, asked = self.station(pk), self.asked(EvidenceSpan)
        names, units = asked["variables"], asked["units"]
        runs = Evidence.objects.filter(station=station, variable__in=names)
        page = told.page(runs.values_list("begins_at", flat=True), asked, begins=True)
        runs = runs.filter(begins_at__gte=page.first, begins_at__lt=page.stop)
        return self.answer(
            {
                "station": station.pk,
                "variables": told.variables(names, units),
                "next": self.next_page(page, station.village),
                "evidence": [
                    _run(run, station, units[run.variable])
                    for run in runs.order_by("begins_at", "variable", "check_name")
                ],
            },
            asked["to"],
        )


def _run(run: Evidence, station: Station, unit: str) -> dict[str, Any]:
    check, zone = check_named(run.check_name), station.village.clock
    none = float("nan")
    observed, expected = told.values(
        [none if value is None else value for value in (run.observed, run.expected)], run.variable, unit
    )
    own, strain = none if run.tolerance is None else run.tolerance, run.strain
    if check.family == "neighbours":  # these grow with the distance to them
        own, strain = told.as_shown([own, strain], station).tolist()
    (tolerance,) = told.differences(own, run.variable, unit)
    return {
        "begins_at": told.moment(run.begins_at, zone),
        "ends_at": told.moment(run.ends_at, zone),
        "readings": run.readings,
        "variable": run.variable,
        "unit": unit,
        "check": check.name,
        "family": check.family,
        "verdict": VERDICT_WORDS[run.verdict],
        "strain": round(strain, 3),
        "observed": observed,
        "expected": expected,
        "tolerance": tolerance,
        "advice": check.advice,
    }
