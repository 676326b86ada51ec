"""Who is silenced, and for how long: stations and findings invented, the rule itself under test."""

from network.pipeline.neighbours.blame import _may_be_silenced

DAY = 86400


def test_a_station_is_silenced_only_while_it_is_false():
    silences = [(1, 0, 5 * DAY)]
    assert not _may_be_silenced((1, DAY, 4 * DAY), silences, most=3)
    assert _may_be_silenced((1, 10 * DAY, 14 * DAY), silences, most=3)


def test_no_more_than_so_many_are_silent_at_a_time_and_later_others_may_be():
    silences = [(1, 0, 5 * DAY), (2, 2 * DAY, 6 * DAY)]
    assert not _may_be_silenced((3, 3 * DAY, 9 * DAY), silences, most=2)
    assert _may_be_silenced((3, 6 * DAY, 9 * DAY), silences, most=2)
