"""Courses found, looked at again by plain means: scipy's B-spline, brute least distances, planes and boxes by formula."""

from dataclasses import replace

import numpy as np
import pytest
from rows_of_ports import brace, central_vee, in_room, row, vee, vee_eight
from scipy.interpolate import BSpline

from tractwright.design.pattern import KeepOutPlane
from tractwright.route.course.solve import NOT_AT_ALL, WHOLE, solve_courses

KNOTS = np.concatenate([np.zeros(4), np.linspace(0.0, 1.0, 5), np.ones(4)])


def line(problem, solution, index, count=400):
    """Points of a runner's whole centreline (n, 3)."""
    runner, course = problem.runners[index], solution.courses[index]
    curve = BSpline(KNOTS, np.array(course.poles_mm), 4)(np.linspace(0.0, 1.0, count))
    into = np.array(solution.frames[runner.face].z)
    lead = np.linspace(0.0, 1.0, 20)[:, None]
    head = np.array(runner.start_mm) + lead[:-1] * np.array(runner.axis) * runner.port_lead_mm
    return np.concatenate([head, curve, curve[-1] + lead[1:] * into * runner.mouth_lead_mm])


def check(problem, solution, wanted=None):
    """Everything asked, measured again."""
    lines = [line(problem, solution, i) for i in range(len(problem.runners))]
    for runner, course, points in zip(problem.runners, solution.courses, lines, strict=True):
        frame, face = solution.frames[runner.face], next(f for f in problem.faces if f.name == runner.face)
        length = np.linalg.norm(np.diff(points, axis=0), axis=1).sum()
        goal = (wanted or {}).get(runner.name, problem.length_wanted_mm)
        assert length == pytest.approx(goal, rel=problem.length_tolerance)
        assert course.length_mm == pytest.approx(length, abs=0.05)
        assert frame.to_local(points[-1]) == pytest.approx([*course.mouth_at_mm, face.behind_mm], abs=1e-6)
        spline = BSpline(KNOTS, np.array(course.poles_mm), 4)
        u = np.linspace(0.0, 1.0 - 1e-9, 500)
        first, second = spline.derivative(1)(u), spline.derivative(2)(u)
        curvature = np.linalg.norm(np.cross(first, second), axis=1) / np.linalg.norm(first, axis=1) ** 3
        assert 1.0 / curvature.max() >= 1.3 * (min(runner.port_half_least_mm, 21.0) + runner.wall_mm) * 0.99
        assert (curvature * np.linalg.norm(first, axis=1)).mean() <= 3.75
    for i in range(len(lines)):
        for j in range(i):
            apart = np.linalg.norm(lines[i][:, None] - lines[j][None], axis=2).min()
            assert apart >= 2 * (21.0 + 4.0) + problem.gap_mm - 0.1


def test_a_four_under_a_bonnet_behind_a_wing():
    problem = in_room(row(), top=260.0, out=230.0, floor=-150.0)
    solution = solve_courses(problem)
    assert solution.feasible
    assert not solution.shortfalls
    check(problem, solution)
    for i in range(4):
        points = line(problem, solution, i)
        assert (points[:, 1] + 21.0 + 4.0 + 4.0 <= 260.1).all()
        assert (points[:, 2] + 21.0 + 4.0 + 4.0 <= 230.1).all()
    frame = solution.frames["plenum"]
    assert frame.x == pytest.approx((1.0, 0.0, 0.0))
    across, half, deep = 1.5 * solution.pitches_mm["plenum"] + 50.0, 52.0, 100.0
    corners = frame.to_world([[a, b, c] for a in (-across, across) for b in (-half, half) for c in (-12.0, deep)])
    assert corners[:, 1].max() <= 260.0 - 4.0 + 0.1
    assert corners[:, 2].max() <= 230.0 - 4.0 + 0.1
    assert corners[:, 2].min() >= 4.0 - 0.1


def test_alike_ports_get_alike_courses_in_planes_square_to_the_row():
    problem = in_room(row(count=5), top=350.0, out=210.0, floor=-60.0)
    solution = solve_courses(problem)
    assert solution.feasible
    shapes = [np.array(c.poles_mm) - r.start_mm for c, r in zip(solution.courses, problem.runners, strict=True)]
    for shape in shapes:
        assert shape == pytest.approx(shapes[0], abs=1e-6)
        assert shape[:, 0] == pytest.approx(0.0, abs=1e-6)


def test_the_same_problem_gives_the_same_courses():
    problem = in_room(row(count=3), top=220.0, out=200.0, floor=-150.0)
    assert solve_courses(problem) == solve_courses(problem)


def test_a_brace_between_two_runners_is_passed_alike_on_both_sides():
    """One-sided thing, symmetric ports: the courses still mirror each other."""
    box = brace((-60.0, 100.0, 100.0), (-20.0, 140.0, 400.0))
    problem = in_room(row(length=300.0), top=300.0, out=180.0, floor=-150.0, boxes=(box,))
    solution = solve_courses(problem)
    assert solution.feasible
    check(problem, solution)
    low, high = np.array(box.low_mm), np.array(box.high_mm)
    for i in range(4):
        points = line(problem, solution, i)
        away = np.linalg.norm(np.maximum(0.0, np.maximum(low - points, points - high)), axis=1)
        assert away.min() >= 17.0 + 4.0 + 4.0 - 0.1
        mirrored = np.array(solution.courses[3 - i].poles_mm) * [-1.0, 1.0, 1.0]
        assert np.array(solution.courses[i].poles_mm) == pytest.approx(mirrored, abs=1e-6)


def test_swept_axes_get_a_plenum_along_the_row():
    problem = in_room(row(rise_deg=0.0, sweep_deg=20.0, length=300.0), top=260.0, out=230.0, floor=-150.0)
    solution = solve_courses(problem)
    assert solution.feasible
    check(problem, solution)
    assert solution.frames["plenum"].x == pytest.approx((1.0, 0.0, 0.0), abs=1e-9)


def test_a_held_place_and_direction_are_kept():
    problem = in_room(row(), top=260.0, out=260.0, floor=-150.0)
    face = replace(problem.faces[0], held_at_mm=(10.0, 150.0, 170.0), held_direction=(0.0, 1.0, 0.2))
    solution = solve_courses(replace(problem, faces=(face,)))
    assert solution.feasible
    frame = solution.frames["plenum"]
    assert frame.to_world([0.0, 0.0, 12.0]) == pytest.approx([10.0, 150.0, 170.0], abs=1e-6)
    assert frame.z == pytest.approx(np.array([0.0, 1.0, 0.2]) / np.hypot(1.0, 0.2), abs=1e-9)
    check(problem, solution)


def test_one_length_held_apart_from_the_others():
    problem = replace(in_room(row(), top=260.0, out=260.0, floor=-150.0), held_length_mm={"r2": 300.0})
    solution = solve_courses(problem)
    assert solution.feasible
    check(problem, solution, {"r2": 300.0})


def test_a_lone_runner():
    problem = in_room(row(count=1), top=260.0, out=230.0, floor=-150.0)
    solution = solve_courses(problem)
    assert solution.feasible
    check(problem, solution)


def test_two_banks_that_look_into_a_valley():
    problem = vee()
    solution = solve_courses(problem)
    assert solution.feasible
    check(problem, solution)


def test_a_length_the_room_cannot_hold_is_named_with_the_best_found():
    """160 x 310 mm of space, no longer than the plenum; 400 mm at most 212 degrees of turn do not go in."""
    problem = in_room(row(length=400.0), top=160.0, out=160.0, floor=-150.0)
    sides = [
        KeepOutPlane(name=name, normal=(way, 0.0, 0.0), offset_mm=-200.0) for name, way in (("l", 1.0), ("r", -1.0))
    ]
    problem = replace(problem, room=replace(problem.room, planes=(*problem.room.planes, *sides)))
    solution = solve_courses(problem)
    assert not solution.feasible
    assert [item.demand for item in solution.shortfalls] == ["length"]
    assert solution.shortfalls[0].wanted == 400.0
    assert 250.0 < solution.shortfalls[0].reached < 399.0
    assert sum(share for _, share in solution.binding) == pytest.approx(1.0, abs=0.15)
    check(problem, solution, {runner.name: solution.shortfalls[0].reached for runner in problem.runners})
    assert solution.evaluations < 5500


def test_a_length_that_only_a_plenum_further_along_the_row_lets_runners_have():
    """Under 210 mm and behind 190, 400 mm do not go into planes square to the row: such jobs were refused, though runners all
    aslant to a plenum beside the row have it.
    """
    problem = in_room(row(length=400.0, pitch=95.0, rise_deg=0.0), top=210.0, out=190.0, floor=-80.0)
    in_planes = solve_courses(problem, effort=replace(WHOLE, aslant=NOT_AT_ALL))
    assert not in_planes.feasible
    assert abs(in_planes.frames["plenum"].origin_mm[0]) < 1.0
    solution = solve_courses(problem)
    assert solution.feasible
    assert abs(solution.frames["plenum"].origin_mm[0]) > 50.0
    check(problem, solution)


def test_a_plate_nearer_than_the_plenum_is_thick_is_refused_naming_the_plenum():
    """The body is 104 mm high and 112 mm deep: between plate and head face, 80 mm apart, it fits in no pose."""
    problem = in_room(row(count=3), out=80.0)
    solution = solve_courses(problem)
    assert not solution.feasible
    assert any(item.demand.startswith("plenum room") for item in solution.shortfalls)
    assert solution.evaluations < 5000


def test_two_banks_share_a_row_of_mouths_over_the_valley():
    """The banks turn into each other about the upright through the middle; so do their courses."""
    problem = central_vee()
    solution = solve_courses(problem)
    assert solution.feasible
    check(problem, solution)
    frame, courses = solution.frames["plenum"], {course.name: course for course in solution.courses}
    assert frame.z == pytest.approx((0.0, 1.0, 0.0), abs=1e-6)
    assert (frame.origin_mm[0], frame.origin_mm[2]) == pytest.approx((0.0, 0.0), abs=1e-6)
    turned = np.array([-1.0, 1.0, -1.0])
    for one, other in (("left1", "right3"), ("left2", "right2"), ("left3", "right1")):
        assert np.array(courses[one].poles_mm) * turned == pytest.approx(np.array(courses[other].poles_mm), abs=1e-6)
    along = [courses[name].mouth_at_mm[0] for name in problem.faces[0].runners]
    assert np.diff(along) == pytest.approx(solution.pitches_mm["plenum"])


def test_a_row_of_mouths_a_bank_for_a_vee_eight():
    """Mouths as far apart as the ports, each bank's in a row on its own side: the runners need not lean along the engine."""
    problem = vee_eight()
    solution = solve_courses(problem)
    assert solution.feasible
    check(problem, solution)
    courses, frame = {course.name: course for course in solution.courses}, solution.frames["plenum"]
    for runner in problem.runners:
        along, across = courses[runner.name].mouth_at_mm
        assert abs(across) == pytest.approx(30.5)
        mouth = frame.to_world((along, across, 12.0))
        assert mouth[2] * runner.start_mm[2] > 0.0
        assert abs(mouth[0] - runner.start_mm[0]) < 25.0
    turned = np.array([-1.0, 1.0, -1.0])
    for one, other in (("left1", "right4"), ("left2", "right3")):
        assert np.array(courses[one].poles_mm) * turned == pytest.approx(np.array(courses[other].poles_mm), abs=1e-6)
