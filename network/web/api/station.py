"""GET /api/stations/<id>: one station and the history of everything its readings depend on."""

from datetime import datetime, tzinfo
from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from network.science.variables import VARIABLES
from network.web.api.asked import Question
from network.web.api.resource import Resource
from network.web.api.shapes import PlaceShape, described
from network.web.api.stations import StationShape, feature, place
from stations.models import Calibration, Instrument, Placement, Station


class PeriodShape(serializers.Serializer):
    begins_at = serializers.DateTimeField()
    ends_at = serializers.DateTimeField(allow_null=True, help_text="Null while it still holds.")


class SitingShape(serializers.Serializer):
    variable = serializers.CharField()
    siting_class = serializers.IntegerField(
        allow_null=True, help_text="1 (reference site) to 5, WMO-No. 8 and ISO 19289; null when not known."
    )
    words = serializers.CharField()
    written_at = serializers.DateTimeField()


class PlacementShape(PeriodShape):
    geometry = PlaceShape(allow_null=True)
    elevation = serializers.FloatField(allow_null=True)
    siting = SitingShape(many=True)


class CalibrationShape(serializers.Serializer):
    begins_at = serializers.DateTimeField()
    kind = serializers.CharField()
    parameters = serializers.DictField()
    reason = serializers.CharField()


class ChannelShape(PeriodShape):
    name = serializers.CharField(help_text="As the device says it.")
    unit = serializers.CharField(help_text="Of values sent without a unit.")
    calibrations = CalibrationShape(many=True)


class InstrumentShape(PeriodShape):
    variable = serializers.CharField()
    standard_name = serializers.CharField()
    unit = serializers.CharField(help_text="Of range, resolution and accuracy.")
    principle = serializers.CharField()
    range_low = serializers.FloatField(allow_null=True)
    range_high = serializers.FloatField(allow_null=True)
    resolution = serializers.FloatField(allow_null=True)
    accuracy = serializers.FloatField(allow_null=True, help_text="Standard error.")
    height = serializers.FloatField(allow_null=True, help_text="Metres above the ground.")
    shield = serializers.CharField()
    channels = ChannelShape(many=True)


class ClockShape(PeriodShape):
    zone = serializers.CharField()
    stamps = serializers.CharField(help_text="Which end of the period measured the device's times mark.")
    fast_by = serializers.IntegerField(help_text="Seconds.")


class HistoryShape(serializers.Serializer):
    station = StationShape()
    placements = PlacementShape(many=True)
    instruments = InstrumentShape(many=True)
    clocks = ClockShape(many=True)


class StationHistory(Resource):
    @described("station", "One station", Question, HistoryShape)
    def get(self, request: Request, pk: int) -> Response:
        """Where it stood, what it measured with and how its clock ran, from when to when."""
        self.asked(Question)
        self.station(pk)
        station = (
            Station.objects.select_related("household__village")
            .prefetch_related("placements__siting_notes", "instruments__channels__calibrations", "clocks")
            .get(pk=pk)
        )
        zone = station.village.clock
        return self.answer(
            {
                "station": feature(station),
                "placements": [_placement(station, one, zone) for one in station.placements.all()],
                "instruments": [_instrument(one, zone) for one in station.instruments.all()],
                "clocks": [
                    _period(one, zone) | {"zone": one.zone, "stamps": one.stamps, "fast_by": one.fast_by}
                    for one in station.clocks.all()
                ],
            }
        )


def _placement(station: Station, placement: Placement, zone: tzinfo) -> dict[str, Any]:
    siting = [
        {
            "variable": note.variable,
            "siting_class": note.siting_class,
            "words": note.words,
            "written_at": _local(note.written_at, zone),
        }
        for note in placement.siting_notes.all()
    ]
    return _period(placement, zone) | place(station, placement) | {"siting": siting}


def _instrument(instrument: Instrument, zone: tzinfo) -> dict[str, Any]:
    variable = VARIABLES[instrument.variable]
    said = ("principle", "range_low", "range_high", "resolution", "accuracy", "height", "shield")
    channels = [
        _period(channel, zone)
        | {
            "name": channel.name,
            "unit": channel.unit,
            "calibrations": [_calibration(made, zone) for made in channel.calibrations.all()],
        }
        for channel in instrument.channels.all()
    ]
    return (
        _period(instrument, zone)
        | {"variable": variable.name, "standard_name": variable.standard_name, "unit": variable.unit}
        | {name: getattr(instrument, name) for name in said}
        | {"channels": channels}
    )


def _calibration(made: Calibration, zone: tzinfo) -> dict[str, Any]:
    return {
        "begins_at": _local(made.begins_at, zone),
        "kind": made.kind,
        "parameters": made.parameters,
        "reason": made.reason,
    }


def _period(period: Any, zone: tzinfo) -> dict[str, Any]:
    return {"begins_at": _local(period.begins_at, zone), "ends_at": _local(period.ends_at, zone)}


def _local(moment: datetime | None, zone: tzinfo) -> str | None:
    return None if moment is None else moment.astimezone(zone).isoformat()
