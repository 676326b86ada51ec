"""Words beside marks: what is true of any layout, checked on places chosen by hand."""

from itertools import combinations

from network.web.map_labels import Labelled, _drawn, _words, sides


def meet(one: tuple, other: tuple) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def test_alone_words_stand_at_the_right_and_at_the_edge_at_the_left() -> None:
    assert sides([Labelled(300, 200, "Green", "7.1")], 720, 500) == [""]
    assert sides([Labelled(700, 200, "Green", "7.1")], 720, 500) == ["left"]


def test_words_keep_off_their_own_arrow_wherever_it_flies() -> None:
    # Near either edge too, where one side is closed already.
    for x in (60, 300, 690):
        for shaft in (((x + 6, 200), (x + 40, 205)), ((x - 6, 200), (x - 40, 195)), ((x, 206), (x, 240))):
            mark = Labelled(x, 200, "Long Acre", "2.7", shaft)
            box = _words(mark, sides([mark], 720, 500)[0])
            assert not any(meet(box, piece) for piece in _drawn(mark)[1:])
            assert box[0] >= 0 and box[2] <= 720


def test_close_stations_cover_neither_each_others_words_nor_marks() -> None:
    marks = [
        Labelled(300, 200, "Green", "7.1"),
        Labelled(340, 205, "Brook", "6.8"),
        Labelled(320, 228, "Mill", "6.9"),
    ]
    boxes = [_words(mark, side) for mark, side in zip(marks, sides(marks, 720, 500), strict=True)]
    assert not any(meet(one, other) for one, other in combinations(boxes, 2))
    assert not any(meet(box, dot) for box in boxes for mark in marks for dot in _drawn(mark))
