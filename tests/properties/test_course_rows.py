"""Regular rows in rooms with space to spare: whatever the pitch, the length and the port's rise, courses are found at once.

Held against geometry alone: lengths along the centreline, runners that are copies of one another, a plenum along the row.
"""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as some

from tractwright.design.pattern import KeepOutPlane, Room
from tractwright.design.room import HEAD_FACE
from tractwright.geometry.curves import course_at
from tractwright.route.course.records import CourseFace, CourseProblem, CourseRunner
from tractwright.route.course.solve import solve_courses

MODEL = CourseRunner(
    name="",
    start_mm=(0.0, 0.0, 0.0),
    axis=(0.0, 0.0, 1.0),
    face="plenum",
    port_lead_mm=14.0,
    mouth_lead_mm=24.0,
    port_half_mm=20.0,
    port_half_least_mm=16.0,
    mouth_bore_mm=40.0,
    wall_mm=4.0,
    bank="a",
)


def problem_of(count: int, pitch: float, length: float, rise: float) -> CourseProblem:
    names = tuple(f"r{i + 1}" for i in range(count))
    axis = (0.0, float(np.sin(rise)), float(np.cos(rise)))
    face = CourseFace(
        name="plenum",
        runners=names,
        mouth_bore_mm=40.0,
        lip_radius_mm=8.0,
        least_pitch_mm=57.0,
        body_depth_mm=90.0,
        body_half_height_mm=45.0,
        body_overhang_mm=45.0,
        behind_mm=12.0,
    )
    room = Room(
        planes=(
            KeepOutPlane(name=HEAD_FACE, normal=(0.0, 0.0, 1.0), offset_mm=0.0),
            KeepOutPlane(name="bonnet", normal=(0.0, -1.0, 0.0), offset_mm=-length - 120.0),
            KeepOutPlane(name="wing", normal=(0.0, 0.0, -1.0), offset_mm=-0.5 * length - 130.0),
        )
    )
    starts = [((i - (count - 1) / 2) * pitch, 0.0, 0.0) for i in range(count)]
    return CourseProblem(
        runners=tuple(replace(MODEL, name=n, start_mm=s, axis=axis) for n, s in zip(names, starts, strict=True)),
        faces=(face,),
        room=room,
        key_ways=(),
        length_wanted_mm=length,
        clearance_mm=4.0,
        gap_mm=6.0,
    )


@settings(max_examples=6, deadline=None, derandomize=True)
@given(
    count=some.integers(2, 6),
    pitch=some.floats(80.0, 110.0),
    length=some.floats(160.0, 440.0),
    rise=some.floats(0.0, 0.6),
)
def test_found_at_once_and_all_alike(count, pitch, length, rise):
    problem = problem_of(count, pitch, length, rise)
    solution = solve_courses(problem)
    assert solution.feasible
    poles = [np.array(course.poles_mm) for course in solution.courses]
    for i, course in enumerate(solution.courses):
        path = course_at(poles[i], np.linspace(0.0, 1.0, 1000))[0]
        along = np.linalg.norm(np.diff(path, axis=0), axis=1).sum() + 14.0 + 24.0
        assert abs(along - length) <= 0.002 * length
        assert abs(course.length_mm - along) <= 0.05
        assert np.abs(poles[i] - poles[0] - [i * pitch, 0.0, 0.0]).max() < 1e-6
    assert abs(solution.frames["plenum"].x[0]) > 1.0 - 1e-12
