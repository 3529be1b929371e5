"""Strength as measured on the built solids: stress and bow of the plenum's sides, opening at the seals, how the whole rings."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tractwright.design.housing import cover_of
from tractwright.design.records import Design, Plenum
from tractwright.errors import KernelError
from tractwright.geometry.frames import Array, vec3
from tractwright.job.engine_tables import AirSupply
from tractwright.shape.records import BuiltPiece
from tractwright.standards.materials import material
from tractwright.strength.finite.body import Body, Chosen
from tractwright.strength.finite.elastic import equivalent_mpa, moved_mm, rings_hz, stresses_mpa
from tractwright.strength.finite.mesher import Grain, meshed
from tractwright.strength.joints import in_joint_mm
from tractwright.strength.manifold import Manifold, along_cords, manifold, ring_mm
from tractwright.strength.pressure import pressures_of
from tractwright.strength.records import OnSolids, PlatePart, Pressures, SolidJoint, SolidPiece, SolidPlate

GRAIN = Grain(largest_mm=14.0, smallest_mm=5.0, a_turn=6.0)
"""Fine enough for a wall of 5 mm: two lengths of an edge to the thickness cost some 3 % of the bow."""
_AT_ONCE, _LIMIT_SECONDS = 2, 120.0
_RINGS = 3
_TOLD_APART_MM = 1.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Side:
    """A flat side of a plenum: its piece, which nodes of it, its normal's axis in the plenum's frame, its four corners."""

    subject: str
    part: PlatePart
    nodes: np.ndarray
    axis: int
    corners_mm: Array
    thick_mm: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Answer:
    """What 1 MPa inside does: displacements (n, 3), equivalent stress (n,); and volume that belongs to each node (n,)."""

    moved: Array
    stress: Array
    volume: Array


def on_solids(air: AirSupply, design: Design, pieces: tuple[BuiltPiece, ...]) -> OnSolids:
    """Finite elements of all pieces together. Where a piece was not built, or cannot be meshed, a note and nothing else."""
    if any(piece.solid is None for piece in pieces):
        return _nothing("not measured on the solids: not every piece was built")
    found = meshed([piece.solid for piece in pieces if piece.solid], GRAIN, _AT_ONCE, _LIMIT_SECONDS)
    faults = [fault for fault in found if isinstance(fault, KernelError)]
    if faults:
        return _nothing(f"not measured on the solids: {faults[0]}")
    bodies = [one for one in found if isinstance(one, Body)]
    try:
        whole = manifold(design, [piece.name for piece in pieces], bodies)
    except KernelError as fault:
        return _nothing(f"not measured on the solids: {fault}")
    return _measured(whole, pressures_of(air))


def _nothing(note: str) -> OnSolids:
    return OnSolids(plates=(), pieces=(), joints=(), frequencies_hz=(), unknowns=0, notes=(note,))


def _measured(whole: Manifold, pressures: Pressures) -> OnSolids:
    moved = moved_mm(whole.held, whole.pressed_n)
    answer = _Answer(moved=moved, stress=equivalent_mpa(stresses_mpa(whole.held, moved)), volume=_volumes(whole.body))
    cords = moved_mm(whole.held, whole.cords_n)
    clear = ~_near_screws(whole)
    steady, backfire = pressures.wall_mpa, pressures.backfire_mpa
    return OnSolids(
        plates=tuple(_plate(side, whole, answer, clear, (steady, backfire)) for side in _sides(whole)),
        pieces=tuple(_pieces(whole, answer, clear, (steady, backfire))),
        joints=tuple(_joints(whole, answer.moved, cords, (pressures.steady_mpa, backfire))),
        frequencies_hz=tuple(float(value) for value in rings_hz(whole.held, _RINGS)[0]),
        unknowns=len(whole.held.system.starts) - 1,
        notes=whole.notes,
    )


def _volumes(body: Body) -> Array:
    """A quarter of each tetrahedron to each of its corners; nothing to middles of edges."""
    corners = body.points_mm[body.tets[:, :4]]
    volume = np.abs(np.linalg.det(corners[:, 1:] - corners[:, :1])) / 24.0
    found = np.bincount(body.tets[:, :4].ravel(), np.repeat(volume, 4), minlength=len(body.points_mm))
    return np.asarray(found, dtype=np.float64)


def _near_screws(whole: Manifold) -> Chosen:
    """Nodes where screws clamp: the ties and the holding are stiffer there than metal is."""
    points, design = whole.body.points_mm, whole.design
    near = np.zeros(len(points), dtype=np.bool_)
    for joint in design.joints:
        screws = tuple(screw for screw in design.screws if screw.joint == joint.name)
        if not screws:
            continue
        local = joint.frame.to_local(points)
        for place, screw in zip(in_joint_mm(joint.frame, screws), screws, strict=True):
            ring = ring_mm(screw, design) + _TOLD_APART_MM
            near |= (np.hypot(*(local[:, :2] - place).T) < ring) & (np.abs(local[:, 2]) < 2.0 * ring)
    return near


def _sides(whole: Manifold) -> Iterator[_Side]:
    """Floor, walls and cover of every plenum, as `walls.plenum_plates` names them."""
    for plenum in whole.design.plena:
        local = plenum.frame.to_local(whole.body.points_mm) - np.array([*plenum.centre_mm, 0.0])
        across = np.array([plenum.width_mm, plenum.height_mm])
        over = np.all(np.abs(local[:, :2]) < across / 2.0, axis=1)
        top = plenum.floor_mm + plenum.depth_mm
        subject = f"plenum.{plenum.name}"
        yield _flat(subject, "floor", over & _between(local[:, 2], 0.0, plenum.floor_mm), plenum, 0.0)
        for axis in (0, 1):
            along = _between(local[:, 1 - axis], -across[1 - axis] / 2.0, across[1 - axis] / 2.0)
            part: PlatePart = "end wall" if across[axis] == across.max() else "long wall"
            for sign in (-1.0, 1.0):
                inner = across[axis] / 2.0
                through = _between(sign * local[:, axis], inner, inner + plenum.wall_mm)
                nodes = np.flatnonzero(along & through & _between(local[:, 2], plenum.floor_mm, top))
                yield _wall(subject, part, nodes, plenum, (axis, sign))
        cover = cover_of(plenum, whole.design)
        for flange in (one for one in whole.design.flanges if one.piece == cover):
            lid = over & _between(local[:, 2], top, top + flange.thickness_mm)
            yield _flat(f"flange.{flange.name}", "cover", lid, plenum, top)


def _between(values: Array, low: float, high: float) -> Chosen:
    return (values > low - 1e-3) & (values < high + 1e-3)


def _flat(subject: str, part: PlatePart, chosen: Chosen, plenum: Plenum, height: float) -> _Side:
    half = np.array([plenum.width_mm, plenum.height_mm]) / 2.0
    corners = [[*(half * np.array(way)), height] for way in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    return _Side(
        subject=subject,
        part=part,
        nodes=np.flatnonzero(chosen),
        axis=2,
        corners_mm=np.array(corners),
        thick_mm=plenum.floor_mm if part == "floor" else plenum.wall_mm,
    )


def _wall(subject: str, part: PlatePart, nodes: np.ndarray, plenum: Plenum, way: tuple[int, float]) -> _Side:
    axis, sign = way
    across = (plenum.width_mm, plenum.height_mm)
    corners = np.zeros((4, 3))
    corners[:, axis] = sign * across[axis] / 2.0
    corners[:, 1 - axis] = np.array([-1.0, 1.0, 1.0, -1.0]) * across[1 - axis] / 2.0
    corners[:, 2] = plenum.floor_mm + np.array([0.0, 0.0, 1.0, 1.0]) * plenum.depth_mm
    return _Side(subject=subject, part=part, nodes=nodes, axis=axis, corners_mm=corners, thick_mm=plenum.wall_mm)


def _plate(side: _Side, whole: Manifold, answer: _Answer, clear: Chosen, pressures: tuple[float, float]) -> SolidPlate:
    nodes = side.nodes[clear[side.nodes]]
    stress, _ = _peak(nodes, answer, side.thick_mm)
    bow = _bow(side, whole, answer.moved)
    return SolidPlate(
        subject=side.subject,
        part=side.part,
        stress_mpa=stress * pressures[0],
        backfire_mpa=stress * pressures[1],
        bow_mm=bow * pressures[0],
    )


def _peak(nodes: np.ndarray, answer: _Answer, thick_mm: float) -> tuple[float, int]:
    """The stress that only a cube of the wall's thickness goes beyond, and the node where it stands; 0 without nodes."""
    if not len(nodes):
        return 0.0, 0
    order = nodes[np.argsort(-answer.stress[nodes], kind="stable")]
    beyond = np.cumsum(answer.volume[order])
    place = min(int(np.searchsorted(beyond, thick_mm**3)), len(order) - 1)
    return float(answer.stress[order[place]]), int(order[place])


def _subjects(plenum: Plenum, design: Design) -> tuple[str, ...]:
    """What the sides of a plenum are called by: itself, and the flanges of its cover."""
    cover = cover_of(plenum, design)
    return f"plenum.{plenum.name}", *(f"flange.{flange.name}" for flange in design.flanges if flange.piece == cover)


def _bow(side: _Side, whole: Manifold, moved: Array) -> float:
    """Most movement square to the side, less what carries its four corners along."""
    if len(side.nodes) < 4:
        return 0.0
    plenum = next(p for p in whole.design.plena if side.subject in _subjects(p, whole.design))
    local = plenum.frame.to_local(whole.body.points_mm[side.nodes]) - np.array([*plenum.centre_mm, 0.0])
    square = plenum.frame.matrix() @ moved[side.nodes].T
    axes = [axis for axis in range(3) if axis != side.axis]
    at_corners = np.argmin(np.linalg.norm(local[None] - side.corners_mm[:, None], axis=2), axis=1)
    basis = np.column_stack([np.ones(len(local)), local[:, axes], np.prod(local[:, axes], axis=1)])
    carried, *_ = np.linalg.lstsq(basis[at_corners], square[side.axis][at_corners], rcond=None)
    return float(np.abs(square[side.axis] - basis @ carried).max())


def _pieces(whole: Manifold, answer: _Answer, clear: Chosen, pressures: tuple[float, float]) -> Iterator[SolidPiece]:
    metals = {piece.name: material(piece.material) for piece in whole.design.pieces}
    walls = [plenum.wall_mm for plenum in whole.design.plena]
    thick = min([*walls, *(value for runner in whole.design.runners for _, value in runner.wall_mm)])
    for part in whole.parts:
        nodes = np.arange(part.first, part.past)
        stress, place = _peak(nodes[clear[nodes]], answer, thick)
        metal = metals[part.piece]
        yield SolidPiece(
            piece=part.piece,
            stress_mpa=stress * pressures[0],
            backfire_mpa=stress * pressures[1],
            allowed_mpa=metal.allowable_mpa,
            yield_mpa=metal.yield_mpa,
            at_mm=vec3(whole.body.points_mm[place]),
        )


def _joints(whole: Manifold, moved: Array, cords: Array, pressures: tuple[float, float]) -> Iterator[SolidJoint]:
    """How far the two faces of each joint with a cord part, at its worst place along the cord."""
    faces: dict[str, list[tuple[np.ndarray, float]]] = {}
    axes = {joint.name: np.array(joint.frame.z) for joint in whole.design.joints}
    for joint, nodes, sign, _ in along_cords(whole.design, whole.parts, whole.body):
        faces.setdefault(joint.name, []).append((nodes, sign))
    for name, found in faces.items():
        if len(found) != 2:
            continue
        by_pressure, by_cord = (
            sum((sign * (field[nodes] @ axes[name]) for nodes, sign in found), np.zeros(1)) for field in (moved, cords)
        )
        yield SolidJoint(
            joint=name,
            opening_mm=max(0.0, float((by_pressure * pressures[0] + by_cord).max())),
            backfire_mm=max(0.0, float((by_pressure * pressures[1] + by_cord).max())),
        )
