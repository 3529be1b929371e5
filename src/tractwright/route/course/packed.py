"""A course problem as flat arrays, made once."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.design.room import HEAD_FACE, PackedRoom, pack, without
from tractwright.geometry.frames import Array, unit
from tractwright.route.course.bodies import Body, box_body, stub_body, together
from tractwright.route.course.exits import Exit, Ports, exit_of
from tractwright.route.course.lifting import lifted
from tractwright.route.course.records import CourseFace, CourseProblem, CourseRunner, KeyWay

Ints = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]
_BODY_GRAIN_MM = (15.0, 45.0)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Packed:
    """The problem as arrays. n runners, f faces.

    start, axis, wide (n, 3); lead, mouth_lead, half_wide, half_least, corner, wall, mouth_radius, share (length over the
    common length) (n,); face_of (n,), place (n,) steps from the middle of the row, across (n,) [mm] of the row from the
    middle of all; base (f, 3, 3) rows: along the row, up, out of the ports; origin (f, 3) mean port centre; port_pitch
    (f,); pair (q, 2), port_apart (q,) between the port centres.
    """

    problem: CourseProblem
    start: Array
    axis: Array
    wide: Array
    lead: Array
    mouth_lead: Array
    half_wide: Array
    half_least: Array
    corner: Array
    wall: Array
    mouth_radius: Array
    share: Array
    face_of: Ints
    place: Array
    across: Array
    base: Array
    origin: Array
    port_pitch: Array
    pair: Ints
    port_apart: Array
    key_start: Array
    key_direction: Array
    key_length: Array
    key_radius: Array
    whole_room: PackedRoom
    hard_room: PackedRoom
    free_room: PackedRoom
    head_normal: Array
    head_offset: Array
    exit: Exit
    bodies: tuple[Body, ...]

    @property
    def faces(self) -> tuple[CourseFace, ...]:
        """The faces in order."""
        return self.problem.faces

    @property
    def outer_at_port(self) -> Array:
        """Outer half size at the ports (n,)."""
        return self.half_wide + self.wall


def pack_problem(problem: CourseProblem) -> Packed:
    """The problem as arrays."""
    runners, faces = problem.runners, problem.faces
    room = lifted(problem.room, problem.way_out_mm, problem.clearance_mm)
    face_names = [face.name for face in faces]
    start = _rows([runner.start_mm for runner in runners])
    axis = unit(_rows([runner.axis for runner in runners]))
    base, origin = _bases(problem, start, axis)
    pair = _pairs(runners)
    free_room = pack(without(room, HEAD_FACE))
    heads = [plane for plane in problem.room.planes if plane.name == HEAD_FACE]
    keys = _key_arrays(problem.key_ways)
    ports = Ports(
        start=start,
        axis=axis,
        wide=unit(_rows([runner.port_wide for runner in runners])),
        half_wide=np.array([runner.port_half_mm for runner in runners]),
        half_least=np.array([runner.port_half_least_mm for runner in runners]),
        corner=np.array([_corner(runner) for runner in runners]),
        wall=np.array([runner.wall_mm for runner in runners]),
        lead=np.array([runner.port_lead_mm for runner in runners]),
    )
    held = problem.held_length_mm or {}
    return Packed(
        problem=problem,
        start=start,
        axis=axis,
        wide=ports.wide,
        lead=ports.lead,
        mouth_lead=np.array([runner.mouth_lead_mm for runner in runners]),
        half_wide=ports.half_wide,
        half_least=ports.half_least,
        corner=ports.corner,
        wall=ports.wall,
        mouth_radius=np.array([runner.mouth_bore_mm / 2 for runner in runners]),
        share=np.array([held.get(runner.name, problem.length_wanted_mm) for runner in runners])
        / problem.length_wanted_mm,
        face_of=np.array([face_names.index(runner.face) for runner in runners], dtype=np.int64),
        place=np.array([faces[face_names.index(runner.face)].step_of(runner.name) for runner in runners]),
        across=np.array([faces[face_names.index(runner.face)].across_mm(runner.name) for runner in runners]),
        base=base,
        origin=origin,
        port_pitch=np.array([_pitch(face, runners) for face in faces]),
        pair=pair,
        port_apart=apart(start, pair),
        key_start=keys[0],
        key_direction=keys[1],
        key_length=keys[2],
        key_radius=keys[3],
        whole_room=pack(room),
        hard_room=pack(replace(room, grids=())),
        free_room=free_room,
        head_normal=_rows([plane.normal for plane in heads]),
        head_offset=np.array([plane.offset_mm for plane in heads]),
        exit=exit_of(ports, free_room, keys, problem.clearance_mm),
        bodies=bodies_of(problem, *_BODY_GRAIN_MM),
    )


def bodies_of(problem: CourseProblem, spacing_mm: float, patch_mm: float) -> tuple[Body, ...]:
    """Every face's body with its stubs; points are set for the mouths at the ports' pitch."""
    made: list[Body] = []
    for face in problem.faces:
        low, high = body_corners(problem, face)
        stretch = face.stretch
        long = float(high[0] - low[0]) + 2 * stretch * _pitch(face, problem.runners)
        box = box_body(low, high, stretch, long, (spacing_mm, patch_mm))
        box = replace(box, ours=box.fixed[:, 2] <= face.ours_to_mm)
        made.append(together([box, *(stub_body(stub, stretch) for stub in face.stubs)]))
    return tuple(made)


def body_corners(problem: CourseProblem, face: CourseFace) -> tuple[Array, Array]:
    """Low and high corner of a plenum's body, mouth flange to cover, about the middle of its mouths at no pitch."""
    lead = max(runner.mouth_lead_mm for runner in problem.runners if runner.face == face.name)
    high = np.array([face.body_overhang_mm, face.body_half_height_mm, face.body_depth_mm - face.behind_mm])
    return np.array([-high[0], -high[1], -lead]), high


def _rows(vectors: list[tuple[float, float, float]]) -> Array:
    return np.array(vectors, dtype=float).reshape(-1, 3)


def _pitch(face: CourseFace, runners: tuple[CourseRunner, ...]) -> float:
    """Mean port pitch of a face's rows. A lone port counts as standing at the least pitch, and so do ports of several banks
    that stand nearer along the row: their mouths have to spread.
    """
    return float(np.mean([_row_pitch(face, row, runners) for row in face.rows]))


def _row_pitch(face: CourseFace, row: tuple[str, ...], runners: tuple[CourseRunner, ...]) -> float:
    items = [next(item for item in runners if item.name == name) for name in row]
    own = _rows([item.start_mm for item in items])
    if len(own) == 1:
        return face.least_pitch_mm
    if len({item.bank for item in items}) > 1:
        return max(float(np.ptp(own @ _along(items))) / (len(own) - 1), face.least_pitch_mm)
    return float(np.linalg.norm(own[-1] - own[0])) / (len(own) - 1)


def _along(items: list[CourseRunner]) -> Array:
    """Along a row of ports; over several banks along the rows of each taken together, along x where each has one."""
    ways: dict[str, Array] = {}
    for bank in dict.fromkeys(item.bank for item in items):
        own = _rows([item.start_mm for item in items if item.bank == bank])
        ways[bank] = own[-1] - own[0]
    along = np.sum(list(ways.values()), axis=0)
    return unit(along) if float(np.linalg.norm(along)) > 0.0 else np.array([1.0, 0.0, 0.0])


def _bases(problem: CourseProblem, start: Array, axis: Array) -> tuple[Array, Array]:
    """Per face: rows along the row of ports, up, out of the ports; and the mean port centre."""
    names = [runner.name for runner in problem.runners]
    base, origin = np.empty((len(problem.faces), 3, 3)), np.empty((len(problem.faces), 3))
    for f, face in enumerate(problem.faces):
        own = [names.index(name) for name in face.runners]
        along = _along([problem.runners[r] for r in own])
        out = axis[own].mean(axis=0)
        out = unit(out - along * (along @ out))
        base[f] = along, np.cross(out, along), out
        origin[f] = start[own].mean(axis=0)
    return base, origin


def _pairs(runners: tuple[CourseRunner, ...]) -> Ints:
    """Pairs to be kept apart while searching: next to each other in a row, and all across banks or faces.

    Verification looks at all pairs.
    """
    pairs: list[tuple[int, int]] = []
    for i, first in enumerate(runners):
        for j in range(i + 1, len(runners)):
            across = first.bank != runners[j].bank or first.face != runners[j].face
            if across or j == i + 1:
                pairs.append((i, j))
    return np.array(pairs, dtype=np.int64).reshape(-1, 2)


def apart(start: Array, pair: Ints) -> Array:
    """Distance between the port centres of pairs (q,)."""
    return np.linalg.norm(start[pair[:, 0]] - start[pair[:, 1]], axis=1)


def beside_half(runners: tuple[CourseRunner, ...], start: Array) -> Array:
    """Outer half of each port towards its neighbours (n,): along the row in a single bank, else out to the corners."""
    largest = np.array([runner.port_half_mm + runner.wall_mm for runner in runners])
    least = np.array([runner.port_half_least_mm for runner in runners])
    corner = np.array([_corner(runner) for runner in runners])
    wall = np.array([runner.wall_mm for runner in runners])
    if len({runner.bank for runner in runners}) > 1:
        return corner + np.hypot(largest - wall - corner, least - corner) + wall
    if len(runners) == 1:
        return largest
    row = unit(start[-1] - start[0])
    wide = np.abs(unit(_rows([runner.port_wide for runner in runners])) @ row)
    return (
        corner + (largest - wall - corner) * wide + (least - corner) * np.sqrt(1.0 - np.minimum(wide, 1.0) ** 2) + wall
    )


def _corner(runner: CourseRunner) -> float:
    round_corner = runner.port_half_least_mm
    return round_corner if runner.port_corner_mm is None else min(runner.port_corner_mm, round_corner)


def _key_arrays(key_ways: tuple[KeyWay, ...]) -> tuple[Array, Array, Array, Array]:
    return (
        _rows([key.start_mm for key in key_ways]),
        unit(_rows([key.direction for key in key_ways])),
        np.array([key.length_mm for key in key_ways], dtype=float),
        np.array([key.radius_mm for key in key_ways], dtype=float),
    )
