"""Where the part may be, answered for points: how far the nearest thing kept out is, which way is freer, its name."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.design.kernels import RoomArrays, clearances
from tractwright.design.pattern import DistanceGrid, Room
from tractwright.geometry.frames import Array

HEAD_FACE = "head face"
"""Name of the plane z >= 0 every room has: the part stays in front of the head. The head flange itself stands on it."""

MIDDLE_PLANE = "the other bank's side"
"""Name of the engine's middle plane, where each bank's manifold stays on its own side."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class PackedRoom:
    """A room made ready for fast queries. names : of the planes, the boxes, the grids, then the rods."""

    names: tuple[str, ...]
    arrays: RoomArrays


def pack(room: Room) -> PackedRoom:
    """The room as flat arrays, plane normals made unit. Build it once where many queries follow."""
    normals = np.array([plane.normal for plane in room.planes], dtype=float).reshape(-1, 3)
    sizes = np.linalg.norm(normals, axis=1)
    offsets = np.array([plane.offset_mm for plane in room.planes], dtype=float)
    arrays = RoomArrays(
        plane_normal=normals / sizes[:, None],
        plane_offset=offsets / sizes,
        box_low=np.array([box.low_mm for box in room.boxes], dtype=float).reshape(-1, 3),
        box_high=np.array([box.high_mm for box in room.boxes], dtype=float).reshape(-1, 3),
        grid_low=np.array([grid.low_mm for grid in room.grids], dtype=float).reshape(-1, 3),
        grid_step=np.array([grid.step_mm for grid in room.grids], dtype=float),
        grid_shape=np.array([grid.values.shape for grid in room.grids], dtype=np.int64).reshape(-1, 3),
        grid_start=_starts(room.grids),
        grid_values=_all_values(room.grids),
        grid_beyond=np.array([1.0 if grid.free_beyond else -1.0 for grid in room.grids], dtype=float),
        rod_start=np.array([rod.start_mm for rod in room.rods], dtype=float).reshape(-1, 3),
        rod_end=np.array([rod.end_mm for rod in room.rods], dtype=float).reshape(-1, 3),
        rod_radius=np.array([rod.diameter_mm / 2.0 for rod in room.rods], dtype=float),
    )
    names = tuple(item.name for item in (*room.planes, *room.boxes, *room.grids, *room.rods))
    return PackedRoom(names=names, arrays=arrays)


def clearance(room: Room | PackedRoom, points_mm: npt.ArrayLike) -> tuple[Array, Array]:
    """Signed distance (n,) [mm] of points (n, 3) to the nearest thing kept out, and its gradient (n, 3).

    Positive where free; the gradient points where it grows fastest. Infinity and zeros in a room without limits.
    """
    distance, gradient, _ = clearances(_packed(room).arrays, _rows(points_mm))
    return distance, gradient


def nearest(room: Room | PackedRoom, points_mm: npt.ArrayLike) -> tuple[str, ...]:
    """For each point (n, 3) the name of the thing kept out that is nearest; '' in a room without limits."""
    ready = _packed(room)
    _, _, part = clearances(ready.arrays, _rows(points_mm))
    return tuple(ready.names[index] if index >= 0 else "" for index in part)


def without(room: Room, name: str) -> Room:
    """The room with the things of that name taken away: without HEAD_FACE it can be asked about what stands on it."""
    return replace(
        room,
        planes=tuple(item for item in room.planes if item.name != name),
        boxes=tuple(item for item in room.boxes if item.name != name),
        grids=tuple(item for item in room.grids if item.name != name),
        rods=tuple(item for item in room.rods if item.name != name),
    )


def _packed(room: Room | PackedRoom) -> PackedRoom:
    return room if isinstance(room, PackedRoom) else pack(room)


def _rows(points_mm: npt.ArrayLike) -> Array:
    return np.ascontiguousarray(np.asarray(points_mm, dtype=np.float64).reshape(-1, 3))


def _starts(grids: tuple[DistanceGrid, ...]) -> npt.NDArray[np.int64]:
    ends = np.cumsum([0, *(grid.values.size for grid in grids)], dtype=np.int64)
    return ends[:-1].astype(np.int64)


def _all_values(grids: tuple[DistanceGrid, ...]) -> npt.NDArray[np.float32]:
    if len(grids) == 1:
        return np.ascontiguousarray(grids[0].values, dtype=np.float32).ravel()
    flat = [np.asarray(grid.values, dtype=np.float32).ravel() for grid in grids]
    return np.concatenate([*flat, np.empty(0, np.float32)])
