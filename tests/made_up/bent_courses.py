"""Courses laid without a search: straight along the port's axis, round one arc in the plane of rise, straight again."""

from collections.abc import Callable, Sequence
from math import radians

import numpy as np
from laid_courses import clear_course, solution_of

from tractwright.geometry.curves import course_at, course_basis
from tractwright.geometry.frames import Frame, vec3
from tractwright.route.course.records import CourseProblem, CourseSolution
from tractwright.route.course.solve import Effort

Solver = Callable[[CourseProblem, Sequence[float], Effort], CourseSolution]
_FITTED = 400


def bent(turn_deg: float) -> Solver:
    """What a course search gives where every runner may turn upwards by that angle and the plenum stands square to it."""

    def solve(problem: CourseProblem, near: Sequence[float], effort: Effort) -> CourseSolution:
        face, first = problem.faces[0], problem.runners[0]
        axis = np.array(first.axis)
        up = np.cross(axis, [1.0, 0.0, 0.0]) * -1.0
        free = problem.length_wanted_mm - first.port_lead_mm - first.mouth_lead_mm
        points, out = _arc(axis, up, free, radians(turn_deg))
        poles = _poles(points, axis, out)
        _, length = _length(poles)
        shape = poles + axis * first.port_lead_mm
        starts = np.array([runner.start_mm for runner in problem.runners])
        middle = starts.mean(axis=0)
        whole = first.port_lead_mm + length + first.mouth_lead_mm
        courses = [
            clear_course(
                runner.name, runner.start_mm + shape, float(runner.start_mm[0] - middle[0]), whole, radians(turn_deg)
            )
            for runner in problem.runners
        ]
        origin = middle + shape[-1] + out * (first.mouth_lead_mm - face.behind_mm)
        frame = Frame(origin_mm=vec3(origin), x=(1, 0, 0), y=vec3(np.cross(out, [1.0, 0.0, 0.0])), z=vec3(out))
        return solution_of(courses, face.name, frame, float(np.diff(np.sort(starts[:, 0])).min()))

    return solve


def _arc(axis: np.ndarray, up: np.ndarray, length: float, turn: float) -> tuple[np.ndarray, np.ndarray]:
    """Points along nine tenths of a length that turn by an angle, straight before and after; and the way out."""
    s = np.linspace(0.0, length, _FITTED)
    angle = turn * np.clip((s / length - 0.05) / 0.9, 0.0, 1.0)
    tangent = np.cos(angle)[:, None] * axis + np.sin(angle)[:, None] * up
    steps = (tangent[1:] + tangent[:-1]) / 2 * np.diff(s)[:, None]
    return np.concatenate([np.zeros((1, 3)), np.cumsum(steps, axis=0)]), tangent[-1]


def _poles(points: np.ndarray, axis: np.ndarray, out: np.ndarray) -> np.ndarray:
    """Eight poles through those points: ends and end directions exact, the rest by least squares."""
    _, basis, *_ = course_basis(_FITTED)
    fixed = basis[:, [0, 1]].sum(axis=1)[:, None] * points[0] + basis[:, [6, 7]].sum(axis=1)[:, None] * points[-1]
    columns = [np.kron(basis[:, [k]], np.eye(3)) for k in range(2, 6)]
    columns += [np.kron(basis[:, [1]], axis[:, None]), np.kron(basis[:, [6]], -out[:, None])]
    found, *_ = np.linalg.lstsq(np.hstack(columns), (points - fixed).ravel(), rcond=None)
    middle = found[:12].reshape(4, 3)
    first, last = points[0] + found[12] * axis, points[-1] - found[13] * out
    return np.vstack([points[0], first, middle, last, points[-1]])


def _length(poles: np.ndarray) -> tuple[np.ndarray, float]:
    points, *_ = course_at(poles, np.linspace(0.0, 1.0, 801))
    return points, float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
