"""What every resource of the API does alike: who may read, how often, and how long an answer keeps."""

import time
from typing import Any

from django.utils.cache import patch_cache_control
from django.utils.decorators import method_decorator
from django.views.decorators.http import conditional_page
from rest_framework.response import Response
from rest_framework.throttling import AnonRateThrottle
from rest_framework.utils.urls import replace_query_param
from rest_framework.views import APIView

from network.pipeline.ledger import blocks
from network.web.api import told
from network.web.api.asked import Question
from network.web.refusals import Refused
from stations.models import Station, Village

FINAL_AFTER = blocks.CONTEXT + blocks.BLOCK
"""[s] Later than this, only late reports and a steward's decision change what was measured."""

KEEPS = 3600
"""[s] How long an answer about such times may be kept."""


class Readers(AnonRateThrottle):
    """Readers who have not signed in."""

    rate = "300/min"


@method_decorator(conditional_page, name="dispatch")
class Resource(APIView):
    """Read only. Anything that may still change is asked for again, and costs no more than a 304."""

    throttle_classes = [Readers]

    def asked(self, question: type[Question]) -> dict[str, Any]:
        """The query parameters, checked."""
        given = question(data=self.request.query_params.dict())
        given.is_valid(raise_exception=True)
        return given.validated_data

    def station(self, pk: int) -> Station:
        """A station this reader may read of."""
        found = Station.objects.open_to(self.request.user).select_related("household__village")
        station = found.filter(pk=pk).first()
        if station is None:
            raise Refused(404, f"There is no station {pk} here.", "The stations are listed at /api/stations.")
        return station

    def village(self, slug: str) -> Village:
        """A village by its short name."""
        village = Village.objects.filter(slug=slug).first()
        if village is None:
            raise Refused(
                404, f"There is no village {slug!r} here.", "The villages are listed at /api/villages."
            )
        return village

    def answer(self, body: Any, ends_at: float | None = None) -> Response:
        """The answer, kept for an hour where all it speaks of is final."""
        response = Response(body)
        if ends_at is not None and ends_at < time.time() - FINAL_AFTER:
            everyone = not self.request.user.is_authenticated
            patch_cache_control(response, public=everyone, private=not everyone, max_age=KEEPS)
        else:
            patch_cache_control(response, no_cache=True)
        return response

    def next_page(self, page: told.Page, village: Village) -> str | None:
        """The address that goes on where a page ends."""
        if page.follows is None:
            return None
        here = self.request.build_absolute_uri()
        return replace_query_param(here, "from", told.moment(page.follows, village.clock))
