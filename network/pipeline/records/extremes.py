"""The lowest and highest that a village has measured lately, for whoever chooses an instrument."""

import time
from datetime import datetime

from network.models import Summary
from stations.climate import Extreme, Record
from stations.models import Station, Village

LATELY = 400 * 86400
"""[s] A year and a bit: the last winter is in it whatever the season."""


WHOLE_YEAR = 330
"""Days with readings from which a record has seen every season."""


def record(village: Village, variable: str) -> Record:
    """From good readings of the days of all public stations; nothing where there are none."""
    days = Summary.objects.filter(
        station__in=Station.objects.of(village).public(),
        span=Summary.Span.DAY,
        variable=variable,
        begins_at__gte=time.time() - LATELY,
    )
    low = days.exclude(low=None).order_by("low").values_list("low", "begins_at").first()
    if low is None:
        return Record()
    high = days.exclude(high=None).order_by("-high").values_list("high", "begins_at").first()
    seen = days.values("begins_at").distinct().count()
    return Record(_extreme(village, *low), _extreme(village, *high), seen >= WHOLE_YEAR)


def _extreme(village: Village, value: float, at: int) -> Extreme:
    return Extreme(value, datetime.fromtimestamp(at, village.clock))
