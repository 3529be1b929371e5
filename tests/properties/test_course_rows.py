"""Regular rows in rooms with space to spare: whatever the pitch, the length and the port's rise, courses are found at once.

Held against geometry alone: lengths along the centreline, runners that are copies of one another, a plenum along the row.
"""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as some
from rows_of_ports import in_room, row

from tractwright.geometry.curves import course_at
from tractwright.route.course.records import CourseProblem
from tractwright.route.course.solve import solve_courses


def problem_of(count: int, pitch: float, length: float, rise: float) -> CourseProblem:
    """A row under a bonnet and behind a wing that both stand well away, no screws in the way."""
    regular = row(count, pitch, length, float(np.degrees(rise)))
    return replace(in_room(regular, top=length + 120.0, out=0.5 * length + 130.0), key_ways=())


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
