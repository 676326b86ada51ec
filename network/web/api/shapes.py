"""Parts of answers that several resources share, for the description at /api/schema."""

from collections.abc import Callable
from typing import Any, TypeVar

from drf_spectacular.utils import extend_schema
from rest_framework import serializers

F = TypeVar("F", bound=Callable[..., Any])


class RefusalShape(serializers.Serializer):
    """Every refusal."""

    status = serializers.IntegerField()
    error = serializers.CharField(help_text="What is wrong.")
    hint = serializers.CharField(help_text="What to do.")


class VariableShape(serializers.Serializer):
    words = serializers.CharField()
    standard_name = serializers.CharField(help_text="CF standard name; empty where CF has none.")
    unit = serializers.CharField(help_text="UCUM or SenML symbol.")


class PlaceShape(serializers.Serializer):
    """A GeoJSON point (RFC 7946): longitude, latitude."""

    type = serializers.ChoiceField(["Point"])
    coordinates = serializers.ListField(child=serializers.FloatField(), min_length=2, max_length=2)


class PageShape(serializers.Serializer):
    """What every page of time opens with."""

    station = serializers.IntegerField()
    variables = serializers.DictField(child=VariableShape())
    next = serializers.URLField(allow_null=True, help_text="Where it goes on; null at the end.")


class LeftOutShape(serializers.Serializer):
    station = serializers.IntegerField()
    name = serializers.CharField()
    why = serializers.CharField()


class UsedShape(serializers.Serializer):
    station = serializers.IntegerField()
    name = serializers.CharField()
    value = serializers.FloatField(help_text="Of wind, its speed at ten metres.")


def described(
    name: str, summary: str, question: type[serializers.Serializer], answer: Any
) -> Callable[[F], F]:
    """What a resource's GET takes and gives; ``name`` is what a generated client calls it."""
    refusals = dict.fromkeys((400, 404, 429), RefusalShape)
    parameters = [question] if question().fields else []
    return extend_schema(
        operation_id=name, summary=summary, parameters=parameters, responses={200: answer, **refusals}
    )
