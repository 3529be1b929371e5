"""The passages of a head piece as runners, in the job's axes: middle line, schedules, mouth, roots."""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.contours import contour_area
from tractwright.geometry.frames import Array, Frame, unit, vec3
from tractwright.geometry.placing import carried
from tractwright.own.around import walls_along, without_lips, without_plates
from tractwright.own.course import fitted_course
from tractwright.own.head_records import OwnRunner
from tractwright.own.joints import TwoFaces
from tractwright.own.mouths import bare_contour
from tractwright.own.outline import outline_of
from tractwright.own.place import Placing
from tractwright.own.records import OwnSolid, Passage
from tractwright.own.roots import root_mm

MOST_LEAN_DEG = 30.0
"""Passages that lean more go on square through the floor. Source: shop_judgement."""
_LEANS_DEG = 0.05
_SCHEDULE_POINTS = 33
_OFF_MM = 0.5
_APART = 0.25
"""Passages whose middles lie nearer than this much of their bore are one by then. Source: judgement."""
Told = tuple[str, str]
Arm = tuple[Passage, int]


@dataclass(frozen=True, eq=False, slots=True)
class Read:
    """A head piece's solid with its two joint faces, and where it lies."""

    solid: OwnSolid
    faces: TwoFaces
    placing: Placing

    def frame_of(self, frame: Frame) -> Frame:
        """A frame of the file's axes in the job's."""
        on = self.placing.frame
        return Frame(
            origin_mm=vec3(on.to_world(frame.origin_mm)),
            x=vec3(on.turn(frame.x)),
            y=vec3(on.turn(frame.y)),
            z=vec3(on.turn(frame.z)),
        )

    def bank(self) -> Frame:
        """The bank's frame, moved along its z onto the head face."""
        bank = self.placing.bank
        height = float(bank.to_local(self.frame_of(self.faces.head.frame).origin_mm)[2])
        return bank.moved((0.0, 0.0, height)) if abs(height) > 1e-9 else bank


@dataclass(frozen=True, eq=False, slots=True)
class _Line:
    """A runner's middle line from the head face, in the job's axes: s_mm (n,), centre_mm (n, 3), area_mm2 (n,), first (3,)."""

    s_mm: Array
    centre_mm: Array
    area_mm2: Array
    first: Array


def arms_of_runners(order: list[Arm]) -> list[tuple[Arm, ...]]:
    """The passages by the mouth they end in, each mouth in the order of its first passage."""
    mouths: dict[str, tuple[Arm, ...]] = {}
    for passage, end in order:
        name = passage.ends[1 - end].opening
        mouths[name] = (*mouths.get(name, ()), (passage, end))
    return list(mouths.values())


def runner_of(
    read: Read, arms: tuple[Arm, ...], mouth: Frame, plates_mm: tuple[float, float], ports: tuple[str, ...]
) -> tuple[OwnRunner, tuple[Told, ...]]:
    """The passages that end in one mouth as a runner; and what its course does not tell."""
    lines = [_line(read, arm) for arm in arms]
    line, (passage, end) = _together(lines), arms[0]
    leaves = squared(-read.placing.frame.turn(passage.ends[1 - end].into), np.array(mouth.z))
    lean = float(np.degrees(np.arccos(np.clip(leaves @ np.array(mouth.z), -1.0, 1.0))))
    length = float(line.s_mm[-1])
    course = fitted_course(line.s_mm, line.centre_mm, line.first, leaves, 0.0 if lean > MOST_LEAN_DEG else length)
    contour = bare_contour(read.faces.mouth, passage, 1 - end)
    outline, at, turn = outline_of(carried(contour, read.frame_of(read.faces.mouth.frame), mouth))
    runner = OwnRunner(
        ports=ports,
        mouth_mm=at,
        outline=outline,
        turn_deg=turn,
        bore_mm=2.0 * float(np.sqrt(contour_area(contour) * np.cos(np.radians(lean)) / np.pi)),
        leaves=vec3(leaves),
        lean_deg=lean,
        poles_mm=tuple(vec3(pole) for pole in course.poles_mm),
        port_lead_mm=course.first_lead_mm,
        end_lead_mm=course.last_lead_mm,
        off_mm=course.off_mm,
        roots_mm=_least_roots([_roots(read, arm, plates_mm) for arm in arms]),
        length_mm=length,
        area_mm2=_schedule(line.s_mm, line.area_mm2),
        wall_mm=_least([_walls(read, arm, plates_mm) for arm in arms], length),
    )
    far = (passage.name, f"the course drawn here lies up to {course.off_mm:.1f} mm off the traced middle line")
    return runner, (*([far] if course.off_mm > _OFF_MM else []), *_said_of_shared(arms, lines, length))


def _said_of_shared(arms: tuple[Arm, ...], lines: list[_Line], length: float) -> tuple[Told, ...]:
    if len(arms) == 1:
        return ()
    names = " and ".join(passage.name for passage, _ in arms)
    longer = max(float(line.s_mm[-1]) for line in lines) - length
    words = (
        f"they run into one mouth: told as one passage as large as all of them along their middle, {longer:.0f} mm shorter "
        "than they are; what it costs where they meet is not judged"
    )
    return ((names, words),)


def _line(read: Read, arm: Arm) -> _Line:
    passage, end = arm
    on = read.placing.frame
    turned = slice(None) if end == 0 else slice(None, None, -1)
    s = passage.s_mm if end == 0 else passage.length_mm - passage.s_mm[::-1]
    first, last = passage.lips_mm
    return _Line(
        s_mm=s,
        centre_mm=on.to_world(passage.centre_mm[turned]),
        area_mm2=without_lips(s, passage.area_mm2[turned], (first, last) if end == 0 else (last, first)),
        first=squared(on.turn(passage.ends[end].into), np.array(read.bank().z)),
    )


def _together(lines: list[_Line]) -> _Line:
    """One line for passages that run together: midway between them, as large as all while they are apart, and where they
    meet between what they are at both ends.
    """
    if len(lines) == 1:
        return lines[0]
    share = np.linspace(0.0, 1.0, len(lines[0].s_mm))
    places = [
        np.stack([np.interp(share, line.s_mm / line.s_mm[-1], line.centre_mm[:, k]) for k in range(3)], axis=1)
        for line in lines
    ]
    areas = np.array([np.interp(share, line.s_mm / line.s_mm[-1], line.area_mm2) for line in lines])
    middle = np.mean(places, axis=0)
    off = np.max([np.linalg.norm(place - middle, axis=1) for place in places], axis=0)
    apart = off > _APART * np.sqrt(areas.mean(axis=0))
    steps = np.linalg.norm(np.diff(middle, axis=0), axis=1)
    whole = np.where(apart, areas.sum(axis=0), areas.mean(axis=0))
    return _Line(
        s_mm=np.concatenate([[0.0], np.cumsum(steps)]),
        centre_mm=middle,
        area_mm2=np.clip(whole, min(whole[0], whole[-1]), max(whole[0], whole[-1])),
        first=unit(np.mean([line.first for line in lines], axis=0)),
    )


def _least(walls: list[tuple[tuple[float, float], ...]], length: float) -> tuple[tuple[float, float], ...]:
    """The least of several schedules by their share of the whole."""
    least = np.min([[value for _, value in wall] for wall in walls], axis=0)
    return tuple((float(s), float(v)) for s, v in zip(np.linspace(0.0, length, len(least)), least, strict=True))


def _least_roots(found: list[tuple[float | None, float | None]]) -> tuple[float | None, float | None]:
    first = [root for root, _ in found if root is not None]
    last = [root for _, root in found if root is not None]
    return min(first, default=None), min(last, default=None)


def squared(way: Array, square: Array) -> Array:
    """A direction, taken for square where it is so within what tracing tells."""
    way = unit(way)
    return square if float(np.linalg.norm(np.cross(way, square))) < np.radians(_LEANS_DEG) else way


def _schedule(s_mm: Array, value: Array) -> tuple[tuple[float, float], ...]:
    places = np.linspace(0.0, float(s_mm[-1]), _SCHEDULE_POINTS)
    return tuple((float(s), float(v)) for s, v in zip(places, np.interp(places, s_mm, value), strict=True))


def _walls(read: Read, arm: Arm, plates_mm: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    passage, end = arm
    others = frozenset(i for other in read.solid.passages for i in other.inside) - passage.inside
    barred = read.faces.head.faces | read.faces.mouth.faces
    s, wall = walls_along(read.solid.body, passage, others, barred)
    if end == 1:
        s, wall = passage.length_mm - s[::-1], wall[::-1]
    free = without_plates(s, wall, plates_mm, passage.length_mm)
    return _schedule(np.append(s, passage.length_mm), np.append(free, free[-1]))


def _roots(read: Read, arm: Arm, plates_mm: tuple[float, float]) -> tuple[float | None, float | None]:
    """At the head's plate and at the mouths'."""
    passage, end = arm
    ends = passage.ends[end], passage.ends[1 - end]
    faces = (read.faces.head, read.faces.mouth)
    found = [
        root_mm(read.solid.body, face, plate, np.array(place.at_mm) + np.array(place.into) * plate)
        for face, plate, place in zip(faces, plates_mm, ends, strict=True)
    ]
    return found[0], found[1]
