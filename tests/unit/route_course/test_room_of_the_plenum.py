"""Whether a plenum finds room at all, and the way off the head: against plates, by hand."""

from dataclasses import replace

import numpy as np
import pytest
from rows_of_ports import in_room, row

from tractwright.design.pattern import KeepOutBox, KeepOutPlane, Room
from tractwright.route.course.lifting import lifted
from tractwright.route.course.packed import pack_problem
from tractwright.route.course.placing import most_room_mm
from tractwright.route.course.records import Stub
from tractwright.route.course.solve import STAY, solve_courses

CLEARANCE_MM = 4.0


def thickness(problem):
    """The least distance between two plates that hold the body: high, or deep from mouth flange to cover."""
    face = problem.faces[0]
    return min(2 * face.body_half_height_mm, face.body_depth_mm - face.behind_mm + problem.runners[0].mouth_lead_mm)


@pytest.mark.parametrize(("spare", "finds"), [(2 * CLEARANCE_MM + 0.2, True), (2 * CLEARANCE_MM - 2.0, False)])
def test_between_two_plates_there_is_room_or_not(spare, finds):
    """Plates across the way out, the head face 900 mm behind: the body stands between them in its thinnest pose."""
    problem = row(count=3, length=400.0)
    apart = thickness(problem) + spare
    plates = (
        KeepOutPlane(name="near", normal=(0.0, 0.0, 1.0), offset_mm=100.0),
        KeepOutPlane(name="far", normal=(0.0, 0.0, -1.0), offset_mm=-(100.0 + apart)),
    )
    room = most_room_mm(pack_problem(replace(problem, room=Room(planes=plates))))
    assert (room >= CLEARANCE_MM - 0.05) == finds
    assert room == pytest.approx(min(spare / 2.0, CLEARANCE_MM), abs=0.1)


def test_a_held_place_leaves_no_choice():
    problem = in_room(row(count=3), top=300.0, out=300.0, floor=-300.0)
    face = replace(problem.faces[0], held_at_mm=(0.0, 295.0, 150.0), held_direction=(0.0, 1.0, 0.0))
    assert most_room_mm(pack_problem(replace(problem, faces=(face,)))) < 0.0


def test_what_stands_in_the_way_out_counts_as_room():
    """15 mm off the head: a plate in front is 12 mm nearer than it is (15 + 1 - 4), one above is where it is."""
    front = KeepOutPlane(name="front", normal=(0.0, 0.0, -2.0), offset_mm=-600.0)
    above = KeepOutPlane(name="above", normal=(0.0, -1.0, 0.0), offset_mm=-200.0)
    box = KeepOutBox(name="box", low_mm=(0.0, 0.0, 200.0), high_mm=(10.0, 10.0, 220.0))
    room = lifted(Room(planes=(front, above), boxes=(box,)), (0.0, 0.0, 15.0), CLEARANCE_MM)
    assert room.planes[0].offset_mm / 2.0 == pytest.approx(-300.0 + 12.0)
    assert room.planes[1] == above
    assert room.boxes[0].low_mm == pytest.approx((0.0, 0.0, 188.0))
    assert room.boxes[0].high_mm == box.high_mm


def test_a_neck_stays_in_the_room():
    """A neck of 30 mm radius reaches 90 mm along x past the overhang of 50; a wall beside the row lets it 70."""
    problem = in_room(row(count=3, length=300.0), top=400.0, out=300.0, floor=-150.0)
    stub = Stub(start_mm=(50.0, 0.0, 40.0), axis=(1.0, 0.0, 0.0), length_mm=90.0, radius_mm=30.0, moves=1.0)
    end = float(np.max([runner.start_mm[0] for runner in problem.runners]))
    wall = KeepOutPlane(name="wall", normal=(-1.0, 0.0, 0.0), offset_mm=-(end + 50.0 + 70.0))
    faces = (replace(problem.faces[0], stubs=(stub,)),)
    tight = replace(problem, faces=faces, room=replace(problem.room, planes=(*problem.room.planes, wall)))
    solution = solve_courses(tight)
    assert solution.feasible
    frame, pitch = solution.frames["plenum"], solution.pitches_mm["plenum"]
    tip = frame.to_world([pitch + 50.0 + 90.0, 0.0, 12.0 + 40.0])
    assert tip[0] <= end + 50.0 + 70.0 - CLEARANCE_MM + 0.1


def test_courses_that_still_do_stay():
    problem = in_room(row(count=3), top=260.0, out=230.0, floor=-150.0)
    first = solve_courses(problem)
    roomier = in_room(row(count=3), top=265.0, out=230.0, floor=-150.0)
    again = solve_courses(roomier, first.unknowns, STAY)
    assert again.courses == first.courses
    assert again.evaluations == 1


def test_courses_that_no_longer_do_are_changed_a_little():
    problem = in_room(row(count=3), top=260.0, out=230.0, floor=-150.0)
    first = solve_courses(problem)
    longer = replace(problem, length_wanted_mm=problem.length_wanted_mm + 6.0)
    again = solve_courses(longer, first.unknowns, STAY)
    assert again.feasible
    assert again.evaluations < first.evaluations
    assert again.courses[0].length_mm == pytest.approx(longer.length_wanted_mm, rel=0.002)
