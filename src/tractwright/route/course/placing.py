"""Whether a plenum finds room at all, wherever its runners might lead: asked before they are looked for.

A scan over places and tilts with few points of the body, then the best of them moved and tilted by linear programmes that
make the least room as large as can be. Runners, neck and turn are left out: what finds no room here finds none with them.
"""

import numpy as np
from scipy.optimize import linprog

from tractwright.design.room import clearance
from tractwright.geometry.frames import Array
from tractwright.route.course.bodies import box_body
from tractwright.route.course.packed import Ints, Packed, body_corners
from tractwright.route.course.unknowns import angles_of, axes_of, axes_slopes

_STEP_MM, _TILTS, _MOST_PLACES = 25.0, 24, 1500
_COARSE_MM, _FINE_MM = 60.0, 18.0
_REFINED, _ROUNDS = 6, 14
_FIRST_STEP, _LEAST_STEP = np.array([12.0, 12.0, 12.0, 0.2]), 0.02
"""Steps along the row, up and out [mm], and of the tilt [rad]; share of them below which it is not worth going on."""


_SURELY_MM = 0.5
"""Room found by the scan may be so much less than there is."""


def finds_room(packed: Packed) -> bool:
    """Whether every plenum finds room; if not, no search for courses can end well."""
    return most_room_mm(packed) > packed.problem.clearance_mm - _SURELY_MM


def most_room_mm(packed: Packed) -> float:
    """The most room found round the plenum that finds least [mm], counted up to what is asked for."""
    return min(_most_room(packed, f) for f in range(len(packed.faces)))


def _most_room(packed: Packed, f: int) -> float:
    """The best of a scan, refined until there is as much as is asked for."""
    enough, best = packed.problem.clearance_mm, -np.inf
    poses = _poses(packed, f)
    coarse = _points(packed, f, _COARSE_MM)
    room = np.concatenate([_rooms(packed, f, coarse, poses[poses[:, 3] == tilt]) for tilt in np.unique(poses[:, 3])])
    fine = _points(packed, f, _FINE_MM)
    for at in _spread_best(poses, room):
        best = max(best, _refined(packed, f, fine, poses[at]))
        if best >= enough:
            return enough
    return best


def _points(packed: Packed, f: int, grain_mm: float) -> Array:
    """Points over a body's surface about the middle of its mouths, face frame, the mouths as near as they may be (s, 3)."""
    face = packed.faces[f]
    low, high = body_corners(packed.problem, face)
    stretch = face.stretch
    long = float(high[0] - low[0]) + 2 * stretch * face.least_pitch_mm
    body = box_body(low, high, stretch, long, (grain_mm, grain_mm))
    points = body.fixed.copy()
    points[:, 0] += body.rate * face.least_pitch_mm
    return points


def _poses(packed: Packed, f: int) -> Array:
    """Places and tilts to look at, sorted by tilt (p, 4): along, up, out [mm] from the ports, tilt [rad]."""
    face, base = packed.faces[f], packed.base[f]
    tilts = np.linspace(-np.pi, np.pi, _TILTS, endpoint=False)
    if face.held_direction is not None:
        tilts = np.array([angles_of(base, np.array(face.held_direction))[0]])
    if face.held_at_mm is not None:
        places = (base @ (np.array(face.held_at_mm) - packed.origin[f]))[None, :]
    else:
        reach = float(packed.share.max()) * packed.problem.length_wanted_mm
        step = max(_STEP_MM, float(np.sqrt(np.pi * reach**2 / _MOST_PLACES)))
        line = np.arange(-reach, reach + step, step)
        up, out = (side.ravel() for side in np.meshgrid(line, line, indexing="ij"))
        near = np.hypot(up, out) <= reach
        places = np.stack([np.zeros(int(near.sum())), up[near], out[near]], axis=1)
    return np.concatenate([np.column_stack([places, np.full(len(places), tilt)]) for tilt in np.sort(tilts)])


def _rooms(packed: Packed, f: int, points: Array, poses: Array) -> Array:
    """Least room of the points at poses of one tilt (p,)."""
    middles = packed.origin[f] + poses[:, :3] @ packed.base[f]
    turned = points @ axes_of(packed.base[f], float(poses[0, 3]), 0.0)
    distance, _ = clearance(packed.whole_room, (middles[:, None, :] + turned).reshape(-1, 3))
    return distance.reshape(len(poses), -1).min(axis=1)


def _spread_best(poses: Array, room: Array) -> Ints:
    """The best poses, no two of them next to each other."""
    chosen: list[int] = []
    for at in np.argsort(-room, kind="stable"):
        near = (np.abs(poses[chosen] - poses[at]) < [1.0, 60.0, 60.0, 0.4]).all(axis=1) if chosen else np.zeros(1)
        if not near.any():
            chosen.append(int(at))
        if len(chosen) >= _REFINED:
            break
    return np.array(chosen, dtype=np.int64)


def _refined(packed: Packed, f: int, points: Array, pose: Array) -> float:
    """The least room once the pose has been moved to where it is largest."""
    step, (room, slopes) = 1.0, _room_and_slopes(packed, f, points, pose)
    for _ in range(_ROUNDS):
        if room.min() >= packed.problem.clearance_mm or step < _LEAST_STEP:
            break
        moved = pose + _best_move(packed, f, (room, slopes), step)
        new, new_slopes = _room_and_slopes(packed, f, points, moved)
        if new.min() > room.min() + 1e-3:
            pose, room, slopes = moved, new, new_slopes
        else:
            step /= 3.0
    return float(room.min())


def _best_move(packed: Packed, f: int, at: tuple[Array, Array], step: float) -> Array:
    """The move within a step that makes the least room largest, by the slopes; held places and tilts do not move."""
    room, slopes = at
    near = room < room.min() + 60.0 * step + 5.0
    most = _FIRST_STEP * step
    if packed.faces[f].held_at_mm is not None:
        most = most * [0.0, 0.0, 0.0, 1.0]
    if packed.faces[f].held_direction is not None:
        most = most * [1.0, 1.0, 1.0, 0.0]
    count = int(near.sum())
    result = linprog(
        [0.0, 0.0, 0.0, 0.0, -1.0],
        A_ub=np.column_stack([-slopes[near], np.ones(count)]),
        b_ub=room[near],
        bounds=[*((-size, size) for size in most), (None, None)],
        method="highs",
    )
    return result.x[:4] if result.success else np.zeros(4)


def _room_and_slopes(packed: Packed, f: int, points: Array, pose: Array) -> tuple[Array, Array]:
    """Room of each point (s,), and its slopes on the pose (s, 4)."""
    base = packed.base[f]
    middle = packed.origin[f] + pose[:3] @ base
    room, slope = clearance(packed.whole_room, middle + points @ axes_of(base, float(pose[3]), 0.0))
    on_tilt = np.einsum("sd,sd->s", slope, points @ axes_slopes(base, float(pose[3]), 0.0)[0])
    return room, np.column_stack([slope @ base.T, on_tilt])
