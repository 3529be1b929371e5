"""Which of a piece's skin the air inside presses on: whatever hangs together with a passage's bore, up to the joints."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import KDTree

from tractwright.design.records import Design
from tractwright.design.tube import tube
from tractwright.geometry.frames import Array, Frame, unit
from tractwright.strength.finite.body import Chosen, Skin

_IN_PLANE_MM, _SQUARE = 0.02, 0.999
_OVER = 1.05
_FACING = 0.5
_SIDES_TOUCHED, _TOUCHES_MM = 5, 0.5
_STATIONS = 9


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Bores:
    """Points (n, 3) in the middle of the air's way, and how far its wall is there at most (n,)."""

    points_mm: Array
    radius_mm: Array


def bores_of(design: Design) -> Bores:
    """Along every runner and every throttle's neck."""
    points: list[Array] = []
    radii: list[Array] = []
    for runner in design.runners:
        model = tube(runner, design, stations=_STATIONS)
        points.append(model.centre_mm)
        radii.append(np.sqrt(model.area_mm2 / np.pi))
    for throttle in design.throttles:
        points.append(
            throttle.frame.to_world(np.array([[0.0, 0.0, -throttle.neck_mm * share] for share in (0.3, 0.7)]))
        )
        radii.append(np.full(2, throttle.bore_mm / 2.0))
    return Bores(points_mm=np.concatenate(points), radius_mm=np.concatenate(radii))


def in_plane(skin: Skin, frame: Frame) -> Chosen:
    """Which triangles lie in the frame's x-y plane."""
    height = np.abs(frame.to_local(skin.middles_mm)[:, 2])
    return (height < _IN_PLANE_MM) & (np.abs(skin.normals @ np.array(frame.z)) > _SQUARE)


def pressed_inside(skin: Skin, points_mm: Array, at_joints: Chosen, bores: Bores) -> Chosen | None:
    """Which triangles of a piece's skin the air presses on; None where its inside opens to the outside by more than its joints.

    points_mm : (n, 3) of the body; at_joints : which triangles lie in a joint, and end what hangs together.
    """
    patch = _patches(skin, ~at_joints)
    open_skin = np.flatnonzero(~at_joints)
    tree = KDTree(skin.middles_mm[open_skin])
    far, near = tree.query(bores.points_mm)
    found = open_skin[near]
    facing = np.sum(unit(bores.points_mm - skin.middles_mm[found]) * skin.normals[found], axis=1) > _FACING
    patches = np.unique(patch[found[(far < _OVER * bores.radius_mm + 1.0) & facing]])
    chosen = np.isin(patch, patches) & ~at_joints
    return None if _is_outside(points_mm[skin.nodes[:, :3]], patch, patches) else chosen


def _patches(skin: Skin, kept: Chosen) -> npt.NDArray[np.int64]:
    """A number for each triangle: the same where they hang together by edges among those kept."""
    count = len(skin.area_mm2)
    middles = skin.nodes[:, 3:].astype(np.int64)
    rows = np.repeat(np.arange(count)[kept], 3)
    edges = middles[kept].ravel()
    order = np.argsort(edges, kind="stable")
    rows, edges = rows[order], edges[order]
    pairs = np.flatnonzero(edges[1:] == edges[:-1])
    joined = coo_array((np.ones(len(pairs)), (rows[pairs], rows[pairs + 1])), shape=(count, count))
    return np.asarray(connected_components(joined, directed=False)[1], dtype=np.int64)


def _is_outside(corners: Array, patch: npt.NDArray[np.int64], patches: npt.NDArray[np.int64]) -> bool:
    """Whether one of the patches touches nearly every side of the box round the piece. corners : (m, 3, 3)."""
    low, high = corners.min(axis=(0, 1)) + _TOUCHES_MM, corners.max(axis=(0, 1)) - _TOUCHES_MM
    for one in patches:
        own = corners[patch == one]
        if (own.min(axis=(0, 1)) < low).sum() + (own.max(axis=(0, 1)) > high).sum() >= _SIDES_TOUCHED:
            return True
    return False
