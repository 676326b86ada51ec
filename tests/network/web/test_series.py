"""Series and their pictures: nothing joined that should not be, midnights where the village has them."""

import re
from datetime import date, datetime
from zoneinfo import ZoneInfo

import numpy as np

from network.quality.verdict import DOUBTFUL, GOOD, UNCHECKED, WRONG
from network.web import series_picture
from network.web.moment import Moment, beginning
from network.web.quantities import how_long, written
from network.web.series import Line, Series
from network.web.series_axes import BOTTOM, TOP, TimeAxis
from network.web.series_picture import Picture
from network.web.series_table import Periods, table

ZONE = ZoneInfo("Europe/Zurich")
MIDNIGHT = beginning(date(2025, 6, 1), ZONE)


def series(
    values: list[float],
    verdict: list[int] | None = None,
    variable: str = "air_temperature",
    seconds: np.ndarray | None = None,
    neighbours: list[Line] | None = None,
) -> Series:
    """A day's readings from midnight on, five minutes apart."""
    known = np.array(values, float)
    at = MIDNIGHT + 300 * np.arange(1, len(known) + 1) if seconds is None else seconds
    judged = np.array(verdict or [GOOD] * len(known))
    return Series(
        variable, "readings", MIDNIGHT, MIDNIGHT + 86400, at, known, known, known, judged,
        (judged == GOOD).astype(float), np.ones(len(known)), judged, 300, neighbours or [],
    )  # fmt: skip


def picture(one: Series) -> Picture:
    return series_picture.picture(one, TimeAxis.over((one.begins_at, one.ends_at), ZONE))


def pieces(paths: list, kind: str) -> list[str]:
    """The strokes of the paths of one kind."""
    return [piece for path in paths if path.kind == kind for piece in path.d.split("M") if piece]


def test_a_gap_is_not_bridged_and_its_foot_is_dashed() -> None:
    at = MIDNIGHT + 300 * np.array([1, 2, 3, 40, 41, 42])
    drawn = picture(series([10, 11, 12, 13, 12, 11], seconds=at))
    assert len(pieces(drawn.paths, "line")) == 2
    assert len(pieces(drawn.paths, "gap")) == 1


def test_wrong_readings_are_not_joined_and_stand_at_the_edge_when_far_off() -> None:
    drawn = picture(series([10, 10.5, 60, 10.2, 10.4], [GOOD, GOOD, WRONG, GOOD, GOOD]))
    assert len(pieces(drawn.paths, "line")) == 2
    assert [path.kind for path in drawn.edge] == ["dot bar wrong"]
    assert f" {TOP - 4:g}v8" in drawn.edge[0].d


def test_a_wrong_reading_within_the_scale_is_a_barred_dot() -> None:
    drawn = picture(series([10, 12, 11, 12], [GOOD, GOOD, WRONG, GOOD]))
    assert [dot.kind for dot in drawn.dots] == ["wrong"]
    assert not drawn.edge


def test_doubtful_and_unchecked_readings_keep_a_line_of_their_own() -> None:
    drawn = picture(series([10, 11, 12, 13], [DOUBTFUL, DOUBTFUL, UNCHECKED, UNCHECKED]))
    assert {path.kind for path in drawn.paths} >= {"line doubtful", "line unchecked"}
    assert {dot.kind for dot in drawn.dots} == {"doubtful", "unchecked"}


def test_a_direction_is_never_joined() -> None:
    drawn = picture(series([350, 10, 355], variable="wind_from_direction"))
    assert not pieces(drawn.paths, "line")
    assert len(pieces(drawn.paths, "dots")) == 3
    assert [level.words for level in drawn.levels] == ["north", "east", "south", "west", "north"]


def test_neighbours_lie_behind_in_pale_ink_and_widen_the_scale() -> None:
    beside = Line(MIDNIGHT + 900 * np.arange(1, 4), np.array([20.0, 21.0, 22.0]), "Mill")
    drawn = picture(series([10, 11, 12], neighbours=[beside]))
    assert drawn.paths[0].kind == "line pale"
    heights = [float(y) for path in drawn.paths for y in re.findall(r"[\d.]+ ([\d.]+)", path.d)]
    assert min(heights) >= TOP and max(heights) <= BOTTOM


def test_rain_is_drawn_from_nought() -> None:
    drawn = picture(series([0.2, 0.4], variable="rain_amount"))
    assert drawn.levels[0].words in ("0", "0.0") and drawn.levels[0].y == BOTTOM
    assert pieces(drawn.paths, "bars")


def test_an_empty_series_is_a_dashed_foot() -> None:
    drawn = picture(series([]))
    assert len(pieces(drawn.paths, "gap")) == 1 and drawn.latest is None


def test_the_day_clocks_go_back_has_25_hours() -> None:
    # Summer time ended in Switzerland on 25 October 2026 at 03:00 (tz database).
    evening = Moment(int(datetime(2026, 10, 25, 22, tzinfo=ZONE).timestamp()), ZONE, now=False)
    begins, ends = evening.span("day")
    assert ends - begins == 25 * 3600


def test_the_value_stamped_midnight_closes_the_day_before() -> None:
    assert Moment(MIDNIGHT, ZONE, now=False).day == date(2025, 5, 31)


def test_the_table_leaves_wrong_readings_out_and_counts_them() -> None:
    # Twelve readings make the hour; by hand: the believed ones are 10 and eleven times 11.
    made = table(series([10, *[11] * 10, 60, 11], [*[GOOD] * 11, WRONG, GOOD]), Periods("day", ZONE))
    first = made.rows[0]
    assert first.period == "00:00 to 01:00"
    assert first.figures == ["10.0", "10.9", "11.0"]
    assert first.good == "11 of 12 good"
    assert made.rows[1].good == "all good"


def test_figures_have_a_true_minus_and_no_minus_nought() -> None:
    assert written(-3.42, 1) == "−3.4"
    assert written(-0.04, 1) == "0.0"


def test_lengths_of_time_are_told_in_words() -> None:
    assert [how_long(s) for s in (12, 60, 300, 7200, 3 * 86400)] == [
        "12 seconds", "1 minute", "5 minutes", "2 hours", "3 days",
    ]  # fmt: skip
