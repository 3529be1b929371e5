"""What a course search gives where nothing stands in the way, for courses that are laid without one."""

from collections.abc import Sequence

import numpy as np

from tractwright.geometry.frames import Frame, vec3
from tractwright.route.course.records import CourseSolution, RunnerCourse

_FAR_MM = 1e6


def clear_course(
    name: str, poles_mm: np.ndarray, mouth_offset_mm: float, length_mm: float, turn_rad: float = 0.0
) -> RunnerCourse:
    """A course through these poles (8, 3), no bend tight and nothing near."""
    return RunnerCourse(
        name=name,
        poles_mm=tuple(vec3(pole) for pole in poles_mm),
        mouth_at_mm=(mouth_offset_mm, 0.0),
        length_mm=length_mm,
        turn_rad=turn_rad,
        least_bend_radius_mm=_FAR_MM,
        room_clearance_mm=_FAR_MM,
        neighbour_gap_mm=_FAR_MM,
    )


def solution_of(courses: Sequence[RunnerCourse], plenum: str, frame: Frame, pitch_mm: float) -> CourseSolution:
    """These courses to one plenum, every demand met."""
    return CourseSolution(
        courses=tuple(courses),
        frames={plenum: frame},
        pitches_mm={plenum: pitch_mm},
        feasible=True,
        sound=True,
        shortfalls=(),
        binding=(),
        starts_tried=1,
        evaluations=0,
    )
