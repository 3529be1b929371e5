"""The room: where the part may be. From the old part's space in a scan, and from planes and boxes of the sheet."""

import numpy as np
import numpy.typing as npt

from tractwright.design.pattern import DistanceGrid, KeepOutBox, KeepOutPlane, KeepOutRod, Room, ThrottleFace
from tractwright.design.room import HEAD_FACE
from tractwright.geometry.distance_field import Grid, depth_below, unsigned_distance
from tractwright.geometry.frames import Array, Frame, vec3
from tractwright.geometry.meshes import Mesh, coarse
from tractwright.job.sheet import RoomFacts

STEP_MM = 2.0
MOST_SAMPLES = 3.0e7
"""A space so large that STEP_MM would need more samples gets a coarser grid."""
OLD_PART = "space of the old part"
PICTURE_CELL_MM = 4.0
AROUND_BODY_MM = 22.0
"""A throttle body is taken to stand out this far round its hole circle; judgement."""
BODY_LENGTH_MM = 110.0
"""So far the space before the throttle's face is left open for the body and its hose; judgement."""
KEPT_OUTSIDE_MM = 24.0
"""Samples farther than this outside the space are cut off: beyond them the distance goes on straight."""


def room_without_scan(facts: RoomFacts, heads: tuple[Frame, ...] = (Frame(),)) -> Room:
    """Planes and boxes of the sheet in front of the head faces."""
    return Room(planes=(*map(_head_plane, heads), *_planes(facts)), boxes=_boxes(facts), rods=_rods(facts))


def room_from_scan(facts: RoomFacts, mesh: Mesh, throttle: ThrottleFace | None) -> Room:
    """The old part's space as well. mesh : of the old part, in the job frame."""
    grids = (old_space(facts, mesh, throttle),) if facts.use_scan else ()
    small = coarse(mesh, PICTURE_CELL_MM)
    return Room(
        planes=(_head_plane(Frame()), *_planes(facts)),
        boxes=_boxes(facts),
        rods=_rods(facts),
        grids=grids,
        old_part=(small.vertices_mm, small.faces),
    )


def old_space(facts: RoomFacts, mesh: Mesh, throttle: ThrottleFace | None) -> DistanceGrid:
    """Signed distance, positive inside: hollows narrower than twice bridge_mm closed, then grown by around_old_part_mm.

    Closed and grown in one: within bridge_mm of the part, and at least bridge_mm - around_old_part_mm below the surface
    of that. Before the throttle's face it is open, so that the throttle body has its place.
    """
    bridge, around = max(facts.bridge_mm, facts.around_old_part_mm), facts.around_old_part_mm
    pad = bridge + 6.0 * STEP_MM
    low, high = mesh.vertices_mm.min(axis=0) - pad, mesh.vertices_mm.max(axis=0) + pad
    if throttle is not None:
        reach = _body_radius(throttle) + 6.0 * STEP_MM
        tip = np.asarray(throttle.frame.origin_mm) + BODY_LENGTH_MM * np.array(throttle.frame.z)
        low, high = np.minimum(low, tip - reach), np.maximum(high, tip + reach)
    step = max(STEP_MM, float(np.cbrt(np.prod(high - low) / MOST_SAMPLES)))
    grid = unsigned_distance(mesh, low, high, step)
    values = depth_below(grid, bridge) - np.float32(bridge - around)
    if throttle is not None:
        values = np.maximum(values, _before_throttle(grid, throttle))
    return _cropped(grid, values)


def in_frame(mesh: Mesh, frame: Frame) -> Mesh:
    """The mesh in the coordinates of a frame."""
    return Mesh(vertices_mm=frame.to_local(mesh.vertices_mm), faces=mesh.faces)


def _body_radius(throttle: ThrottleFace) -> float:
    farthest = max((float(np.hypot(x, y)) for x, y in throttle.holes_mm), default=0.0)
    return max(farthest, throttle.bore_mm / 2.0) + AROUND_BODY_MM


def _before_throttle(grid: Grid, throttle: ThrottleFace) -> Array:
    """Depth inside a round space before the throttle's face, negative outside it (nx, ny, nz)."""
    origin, z = np.asarray(throttle.frame.origin_mm), np.asarray(throttle.frame.z)
    x, y, w = np.meshgrid(*(axis - o for axis, o in zip(grid.axes(), origin, strict=True)), indexing="ij", sparse=True)
    ahead = x * z[0] + y * z[1] + w * z[2]
    beside = np.sqrt(np.maximum(x**2 + y**2 + w**2 - ahead**2, 0.0))
    return np.minimum(
        _body_radius(throttle) - beside, BODY_LENGTH_MM / 2.0 + 5.0 - np.abs(ahead - BODY_LENGTH_MM / 2.0)
    )


def _cropped(grid: Grid, values: npt.NDArray[np.floating]) -> DistanceGrid:
    """Only the samples near and inside the space."""
    near = values > -KEPT_OUTSIDE_MM
    spans = [np.flatnonzero(near.any(axis=tuple(k for k in range(3) if k != axis))) for axis in range(3)]
    cut = tuple(slice(int(span[0]), int(span[-1]) + 1) for span in spans)
    low = grid.low_mm + grid.step_mm * np.array([span[0] for span in spans])
    kept = np.ascontiguousarray(values[cut], dtype=np.float32)
    return DistanceGrid(name=OLD_PART, low_mm=vec3(low), step_mm=grid.step_mm, values=kept)


def _head_plane(head: Frame) -> KeepOutPlane:
    return KeepOutPlane(name=HEAD_FACE, normal=head.z, offset_mm=float(np.dot(head.z, head.origin_mm)))


def _planes(facts: RoomFacts) -> tuple[KeepOutPlane, ...]:
    return tuple(KeepOutPlane(name=item.name, normal=item.normal, offset_mm=item.offset_mm) for item in facts.plane)


def _rods(facts: RoomFacts) -> tuple[KeepOutRod, ...]:
    """Hoses, and ways that stay free."""
    return tuple(
        KeepOutRod(name=item.name, start_mm=item.start_mm, end_mm=item.end_mm, diameter_mm=item.diameter_mm)
        for item in (*facts.hose, *facts.corridor)
    )


def _boxes(facts: RoomFacts) -> tuple[KeepOutBox, ...]:
    return tuple(KeepOutBox(name=item.name, low_mm=item.low_mm, high_mm=item.high_mm) for item in facts.box)
