"""The picture of a case: the variable that shows it, over its days, with the neighbours behind."""

from datetime import datetime

from network.models import Case
from network.pipeline.neighbours.departures import Departures
from network.science.variables import VARIABLES
from network.web.moment import Moment, beginning
from network.web.place import nearest
from network.web.series import series_of
from network.web.series_axes import TimeAxis
from network.web.series_picture import picture
from network.web.series_table import Periods, table
from network.web.station import Chart
from stations.models import Station

LONGEST = 3
"""Days that are drawn: of a longer case the last."""


def chart_of(case: Case, departures: Departures | None, station: Station, moment: Moment) -> Chart | None:
    """From the midnight before the case to the one after it, or of a long case the last days."""
    name = _drawn(case, departures)
    end = moment.midnight(1)
    first_day = datetime.fromtimestamp(case.begins_at - 1, moment.zone).date()
    begin = max(beginning(first_day, moment.zone), moment.midnight(1 - LONGEST))
    others = nearest(station, moment.local)
    drawn = series_of(station.pk, station.report_every, others, [name], (begin, end), "readings")
    if not drawn or not len(drawn[0]):
        return None
    axis, periods = TimeAxis.over((begin, end), moment.zone), Periods("week", moment.zone)
    return Chart(name, VARIABLES[name].words, picture(drawn[0], axis), table(drawn[0], periods))


def _drawn(case: Case, departures: Departures | None) -> str:
    """The variable that shows best what the case is about: of a clock the one that is compared."""
    if not case.variable and case.check_name == "supply":
        return "battery_voltage"
    return case.variable or (departures.variable if departures else case.seen_in)
