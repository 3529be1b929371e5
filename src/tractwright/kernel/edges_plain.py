"""A solid with the small chamfers and rounds of its outer edges and hole mouths left out: plain corners to draw and cut by."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from OCP.BRepAlgoAPI import BRepAlgoAPI_Defeaturing
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain

from tractwright.errors import KernelError
from tractwright.geometry.contours import counter_clockwise, polyline
from tractwright.geometry.frames import Array, Frame, frame_from_normal
from tractwright.kernel.body import Body, BodyFace, EdgeUse, loop_contour, loop_points
from tractwright.kernel.checked import Checked, checked, fused
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.measure import is_valid, volume
from tractwright.kernel.primitives import extrude
from tractwright.kernel.solid import Solid, faces_of, one_solid
from tractwright.kernel.survey import survey

WIDEST_MM = 2.5
"""A chamfer or round on an outer edge that is no wider breaks the edge, and no cutter is chosen for it. Source:
common_practice."""
_STEP = "leaving out broken edges"
_FLAT, _SLANTED, _UPRIGHT, _MOST = 0.25, 0.3, 0.95, 0.6
_SAME_MM = 1e-3
_DEEPEST_MM = 3.0
_MOST_GROWN = 0.02


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class PlainEdges:
    """The solid, how many small faces broke its edges, and how many of them are still there."""

    solid: Solid
    broken: int
    left: int


def plain_edges(solid: Solid) -> PlainEdges:
    """The same solid with plain outer edges, as far as the kernel makes them. Its own roots and inner radii stay."""
    body = survey(solid, "")
    small = _chamfers(body) | _rounds(body)
    if not small:
        return PlainEdges(solid=solid, broken=0, left=0)
    plain = _without_rounds(_filled(solid, body))
    return PlainEdges(solid=plain, broken=len(small), left=_count(plain))


def _count(solid: Solid) -> int:
    body = survey(solid, "")
    return len(_chamfers(body) | _rounds(body))


def _chamfers(body: Body) -> set[int]:
    """Narrow plane or conical faces whose long edges both fall away slantwise."""
    return {k for k, face in enumerate(body.faces) if face.kind in ("plane", "cone") and _breaks(face, slanted=True)}


def _rounds(body: Body) -> set[int]:
    """Narrow round faces about an outer edge that run into both neighbours smoothly."""
    kinds = ("cylinder", "torus", "sphere")
    return {
        k
        for k, face in enumerate(body.faces)
        if face.kind in kinds and not face.hollow and face.radius_mm < WIDEST_MM and _breaks(face, slanted=False)
    }


def _breaks(face: BodyFace, slanted: bool) -> bool:
    uses = [use for loop in face.loops for use in loop]
    lengths = np.array([float(np.linalg.norm(np.diff(use.points_mm, axis=0), axis=1).sum()) for use in uses])
    if 2.0 * face.area_mm2 > WIDEST_MM * max(float(lengths.sum()), 1e-9):
        return False
    falls = np.array([_fall(face, use) for use in uses])
    if (falls > _FLAT).any():
        return False
    such = (falls < -_SLANTED) & (falls > -_UPRIGHT) if slanted else np.abs(falls) < _FLAT
    return bool(lengths[such].sum() > _MOST * lengths.sum())


def _fall(face: BodyFace, use: EdgeUse) -> float:
    """How the metal across an edge goes from a face: 0 on, -1 square down, 1 square up."""
    middle = use.points_mm[len(use.points_mm) // 2]
    near = int(np.argmin(np.linalg.norm(face.mesh[0] - middle, axis=1)))
    return float(np.dot(use.into, face.normals[near]))


def _filled(solid: Solid, body: Body) -> Solid:
    """With a ring in each closed run of chamfers round a plane face's loop."""
    small = _chamfers(body)
    rings = [
        ring
        for face in body.faces
        if face.kind == "plane"
        for loop in face.loops
        if all(use.other in small for use in loop) and (ring := _ring(body, face, loop, small)) is not None
    ]
    if not rings:
        return solid
    return _unified(_with_rings(checked(solid), rings).solid)


def _with_rings(base: Checked, rings: Sequence[Checked]) -> Checked:
    """All at once, else those that go one by one."""
    try:
        return fused(base, rings, _STEP)
    except KernelError:
        pass
    for ring in rings:
        try:
            base = fused(base, [ring], _STEP)
        except KernelError:
            continue
    return base


def _ring(body: Body, face: BodyFace, loop: tuple[EdgeUse, ...], small: set[int]) -> Checked | None:
    """What a run of chamfers has taken off along a loop of a plane: from the plane down to where their other edges lie."""
    frame = frame_from_normal(loop_points(loop)[0], face.axis, np.eye(3)[int(np.argmin(np.abs(face.axis)))])
    low = _far_loop(body, loop, small, frame)
    if low is None:
        return None
    depth = -float(frame.to_local(low[0].points_mm[0])[2])
    upper, lower = (
        counter_clockwise(loop_contour(loop, frame)),
        counter_clockwise(loop_contour(low, frame.moved((0.0, 0.0, -depth)))),
    )
    spread = shapely.Polygon(polyline(lower)).area - shapely.Polygon(polyline(upper)).area
    outer, inner = (lower, upper) if spread > 0.0 else (upper, lower)
    try:
        return checked(extrude(outer, frame, -depth, [inner]))
    except KernelError:
        return None


def _far_loop(body: Body, loop: tuple[EdgeUse, ...], small: set[int], frame: Frame) -> tuple[EdgeUse, ...] | None:
    """The other edges of a run of chamfers, in the order of the loop; None where they do not lie level."""
    found: list[EdgeUse] = []
    chamfers = {use.other for use in loop}
    for use in loop:
        mine = [u for run in body.faces[use.other].loops for u in run if u.other >= 0 and u.other not in chamfers]
        found += mine
    edges = list({use.edge: use for use in found if not _in(loop, use)}.values())
    if not edges:
        return None
    heights = np.concatenate([frame.to_local(use.points_mm)[:, 2] for use in edges])
    if np.ptp(heights) > _SAME_MM or not -_DEEPEST_MM < float(heights[0]) < -_SAME_MM:
        return None
    return _chained(edges)


def _in(loop: tuple[EdgeUse, ...], use: EdgeUse) -> bool:
    return any(use.edge == other.edge for other in loop)


def _chained(edges: list[EdgeUse]) -> tuple[EdgeUse, ...] | None:
    """Edges end to end; None where they do not close."""
    run, left = [edges[0]], edges[1:]
    while left:
        after = [use for use in left if _meets(run[-1].points_mm[-1], use.points_mm[0])]
        if not after:
            return None
        run.append(after[0])
        left = [use for use in left if use is not after[0]]
    return tuple(run) if _meets(run[-1].points_mm[-1], run[0].points_mm[0]) else None


def _meets(one: Array, other: Array) -> bool:
    return float(np.linalg.norm(one - other)) < _SAME_MM


@kernel_step(_STEP)
def _unified(solid: Solid) -> Solid:
    """Faces of one surface made one."""
    work = ShapeUpgrade_UnifySameDomain(solid.shape, True, True, False)
    work.Build()
    found = one_solid(work.Shape(), _STEP)
    return found if is_valid(found) else solid


def _without_rounds(solid: Solid) -> Solid:
    """Without the rounds, where the kernel can take them off and what comes out is sound; else as it was."""
    body = survey(solid, "")
    rounds = _rounds(body)
    if not rounds:
        return solid
    faces = faces_of(solid.shape)
    work = BRepAlgoAPI_Defeaturing()
    work.SetShape(solid.shape)
    for k in sorted(rounds):
        work.AddFaceToRemove(faces[k])
    try:
        with kernel_step(_STEP):
            work.Build()
        found = one_solid(work.Shape(), _STEP)
    except KernelError:
        return solid
    grown = volume(found) / volume(solid) - 1.0
    return found if is_valid(found) and 0.0 <= grown < _MOST_GROWN else solid
