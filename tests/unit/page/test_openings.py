"""Marks on the head face, and what a click on each writes into the sheet."""

from dataclasses import replace

import pytest

from tractwright.design.pattern import Measurement, Pattern, ProbableHole
from tractwright.design.records import Bank, HeadHole, Port
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle
from tractwright.page.openings import LIST, NO_SCREW, PORT_1, SCREW, extent_mm, marks_of, place_mark
from tractwright.page.sheet_text import facts_of, with_rows

SHEET = '[job]\nname = "invented"\n[scan]\nfile = "scan.stl"\n'
PLACES = {"s1": (-40.0, 30.0), "s2": (-40.0, -30.0), "s3": (40.0, 30.0)}


@pytest.fixture
def pattern():
    """Two round ports and three screws; a fourth would stand where the pattern repeats itself."""
    ports = tuple(
        Port(
            name=name,
            bank="a",
            cylinders=(n,),
            at_mm=(x, 0.0),
            outline=circle(30.0),
            turn_deg=0.0,
            axis=(0.0, 0.0, 1.0),
        )
        for n, (name, x) in enumerate((("p1", -45.0), ("p2", 45.0)), start=1)
    )
    holes = tuple(
        HeadHole(name=name, bank="a", at_mm=at, thread="M8", depth_mm=22.0, stud=False) for name, at in PLACES.items()
    )
    probable = ProbableHole(at_mm=(40.0, -30.0), why="mirror image of s2", seen=0.9, taken=False)
    doubt = Measurement(what="hole s3 x", value=40.0, unit="mm", residual=0.3, sure=0.3)
    bank = Bank(name="a", frame=Frame())
    return Pattern(banks=(bank,), ports=ports, head_holes=holes, measurements=(doubt,), probable=(probable,))


def by_name(marks):
    return {mark.name or mark.about.split(" ")[0]: mark for mark in marks}


def test_what_can_be_said_of_each_opening(pattern):
    marks = by_name(marks_of(pattern, facts_of(SHEET)))
    assert [saying.words for saying in marks["s1"].sayings] == ["it is no screw hole"]
    assert [saying.words for saying in marks["s3"].sayings] == ["it is a screw hole", "it is no screw hole"]
    assert marks["s3"].tone == "not sure"
    assert marks["No"].tone == "not taken"
    assert not marks["p1"].sayings
    assert (marks["p2"].sayings[0].path, marks["p2"].sayings[0].value) == (PORT_1, "right")


def test_port_1_at_the_other_end_comes_back(pattern):
    marks = by_name(marks_of(pattern, facts_of(SHEET + 'port_1 = "right"\n')))
    assert marks["p2"].sayings[0].value == "left"


def test_said_and_unsaid_the_sheet_is_as_before(pattern):
    before = facts_of(SHEET)
    said = by_name(marks_of(pattern, before))["No"].sayings[0]
    stated = facts_of(with_rows(SHEET, LIST, said.value))
    assert stated[LIST] == [{"at": [40.0, -30.0], "what": SCREW}]
    added = HeadHole(name="s4", bank="a", at_mm=(40.0, -30.0), thread="M8", depth_mm=22.0, stud=False)
    then = replace(pattern, head_holes=(*pattern.head_holes, added), probable=())
    unsaid = by_name(marks_of(then, stated))["s4"].sayings
    assert [saying.words for saying in unsaid] == ["as the scan shows it"]
    assert unsaid[0].value == ()


def test_a_hole_left_out_is_still_drawn_and_can_be_brought_back(pattern):
    said = by_name(marks_of(pattern, facts_of(SHEET)))["s1"].sayings[-1]
    stated = facts_of(with_rows(SHEET, LIST, said.value))
    assert stated[LIST][0]["what"] == NO_SCREW
    left = replace(pattern, head_holes=pattern.head_holes[1:])
    mark = next(mark for mark in marks_of(left, stated) if mark.tone == "left out")
    assert mark.at_mm == PLACES["s1"]
    assert mark.sayings[0].value == ()


def test_a_place_nothing_was_found_at_can_be_a_screw(pattern):
    mark = place_mark((12.3, -20.0), facts_of(SHEET))
    assert mark is not None
    assert mark.sayings[0].value == ({"at": "12.30, -20.00", "what": SCREW},)
    assert place_mark((12.3, -20.0), {}) is None


def test_without_a_scan_there_is_nothing_to_put_right(pattern):
    assert not any(mark.sayings for mark in marks_of(pattern, {}))


def test_the_picture_holds_every_mark(pattern):
    low_x, low_y, high_x, high_y = extent_mm(marks_of(pattern, {}))
    assert low_x < -60.0
    assert high_x > 60.0
    assert low_y < -34.0
    assert high_y > 34.0
