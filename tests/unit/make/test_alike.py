"""Lines of cuts that are alike are told as one: counted by hand."""

from tractwright.make.alike import told_together
from tractwright.make.records import Operation


def cut(what: str, how: str = "164 mm long", minutes: tuple[float, float] = (1.0, 3.0)) -> Operation:
    return Operation(what=what, tools=("flat 3",), minutes=minutes, how=how)


def test_four_like_grooves_are_one_line_with_their_minutes_added():
    (one,) = told_together([cut("mouth face groove")] * 4)
    assert one.what == "mouth face groove x 4"
    assert one.minutes == (4.0, 12.0)
    assert one.how == "each of 4: 164 mm long"


def test_faces_of_two_heads_are_named_in_one_line():
    (one,) = told_together([cut("head face head.left roughed"), cut("head face head.right roughed")])
    assert one.what == "head face head.left, head.right roughed"


def test_what_differs_in_amount_or_kind_stays_apart_and_in_order():
    given = [cut("a face groove"), cut("b face groove", how="90 mm long"), cut("a face roughed"), cut("c face groove")]
    assert [one.what for one in told_together(given)] == ["a, c face groove", "b face groove", "a face roughed"]
