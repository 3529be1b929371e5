"""The unknowns of the search, and how the extended poles of the runners follow from them.

Per face six: middle of its mouths on the floor's inner face, along the row, up and out (mm from the mean port centre);
tilt, turn [rad]; pitch. Then the common length. Then per runner fourteen: end leads of the curve a and b, and four free
poles as steps from the port's centre along the row, up and out. All divided by `scale`, so that one unit is a comparable
change.
"""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array, Frame, vec3
from tractwright.route.course.packed import Ints, Packed
from tractwright.route.course.stations import EXTENDED

FACE, OWN = 6, 14
LOCAL = FACE + OWN
"""Unknowns that one runner's poles depend on: its face's six and its own fourteen."""
_LENGTH_SCALE, _ANGLE_SCALE = 50.0, 0.5
_LEAST_END = 6.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Bounds:
    """Scale of each unknown, and least and largest scaled values."""

    scale: Array
    low: Array
    high: Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Posed:
    """Faces and poles that follow from the unknowns.

    middle (f, 3) of the mouths, axes (f, 3, 3) rows x, y, z and their slopes on_tilt, on_turn [1/rad], pitch (f,), length;
    poles (n, 10, 3) extended; slope (n, 10, 3, LOCAL)
    of them on the local unknowns (scaled).
    """

    middle: Array
    axes: Array
    on_tilt: Array
    on_turn: Array
    pitch: Array
    length: float
    poles: Array
    slope: Array


def size_of(packed: Packed) -> int:
    """How many unknowns."""
    return FACE * len(packed.faces) + 1 + OWN * len(packed.start)


def length_at(packed: Packed) -> int:
    """Where the common length stands."""
    return FACE * len(packed.faces)


def local_columns(packed: Packed, runner: int) -> Ints:
    """Places of a runner's local unknowns."""
    first = FACE * int(packed.face_of[runner])
    own = length_at(packed) + 1 + OWN * runner
    return np.concatenate([np.arange(first, first + FACE), np.arange(own, own + OWN)])


def bounds_of(packed: Packed) -> Bounds:
    """Scales and limits; held places and directions have no play."""
    size = size_of(packed)
    scale = np.full(size, _LENGTH_SCALE)
    wanted = float(np.max(packed.share)) * packed.problem.length_wanted_mm
    low, high = np.full(size, -1.2 * wanted), np.full(size, 1.2 * wanted)
    for f in range(len(packed.faces)):
        scale[FACE * f + 3 : FACE * f + 5] = _ANGLE_SCALE
        low[FACE * f : FACE * f + FACE], high[FACE * f : FACE * f + FACE] = _face_limits(packed, f, wanted)
    at = length_at(packed)
    low[at], high[at] = 0.3 * packed.problem.length_wanted_mm, 1.5 * packed.problem.length_wanted_mm
    for r in range(len(packed.start)):
        own = at + 1 + OWN * r
        low[own : own + 2], high[own : own + 2] = _LEAST_END, max(3 * _LEAST_END, 0.5 * wanted)
    return Bounds(scale=scale, low=low / scale, high=high / scale)


def _face_limits(packed: Packed, f: int, wanted: float) -> tuple[Array, Array]:
    face, base = packed.faces[f], packed.base[f]
    most_pitch = face.pitch_mm or max(1.2 * float(packed.port_pitch[f]), 1.02 * face.least_pitch_mm)
    low = np.array([-0.6 * wanted, -1.3 * wanted, -1.3 * wanted, -3.4, -0.6, face.least_pitch_mm])
    high = np.array([0.6 * wanted, 1.3 * wanted, 1.3 * wanted, 3.4, 0.6, most_pitch])
    if face.stretch == 0.0:
        high[5] = low[5]
    if face.held_direction is not None:
        low[3:5] = high[3:5] = angles_of(base, np.array(face.held_direction))
    if face.held_at_mm is not None:
        low[:3] = high[:3] = base @ (np.array(face.held_at_mm) - packed.origin[f])
    return low, high


def axes_of(base: Array, tilt: float, turn: float) -> Array:
    """The face's axes as rows: x along the mouths, y, z into the plenum; turn about 'up', then tilt upwards."""
    along, up, out = base
    x = np.cos(turn) * along - np.sin(turn) * out
    flat = np.sin(turn) * along + np.cos(turn) * out
    return np.array(
        [x, np.cos(tilt) * up - np.sin(tilt) * flat, np.cos(tilt) * flat + np.sin(tilt) * up],
    )


def axes_slopes(base: Array, tilt: float, turn: float) -> tuple[Array, Array]:
    """Slopes of the face's axes (3, 3) on tilt and on turn [1/rad]."""
    x, y, z = axes_of(base, tilt, turn)
    flat = np.sin(turn) * base[0] + np.cos(turn) * base[2]
    return np.array([0.0 * x, -z, y]), np.array([-flat, -np.sin(tilt) * x, np.cos(tilt) * x])


def angles_of(base: Array, direction: Array) -> tuple[float, float]:
    """Tilt and turn whose z is the direction; the turn kept as small as it can be."""
    a, b, c = base @ (direction / np.linalg.norm(direction))
    turn = float(np.arctan2(a, abs(c))) if np.hypot(a, c) > 1e-9 else 0.0
    turn = turn if c >= 0 else -turn
    tilt = float(np.arctan2(b, np.hypot(a, c) * (1.0 if c >= 0 else -1.0)))
    return tilt, turn


def posed(packed: Packed, bounds: Bounds, x: Array) -> Posed:
    """Faces, poles and slopes at scaled unknowns x."""
    values = x * bounds.scale
    faces, runners = len(packed.faces), len(packed.start)
    middle, axes = np.empty((faces, 3)), np.empty((faces, 3, 3))
    tilts, turns = np.empty((faces, 3, 3)), np.empty((faces, 3, 3))
    own = values[: FACE * faces].reshape(faces, FACE)
    for f in range(faces):
        middle[f] = packed.origin[f] + own[f, :3] @ packed.base[f]
        axes[f] = axes_of(packed.base[f], own[f, 3], own[f, 4])
        tilts[f], turns[f] = axes_slopes(packed.base[f], own[f, 3], own[f, 4])
    poles = np.zeros((runners, EXTENDED, 3))
    slope = np.zeros((runners, EXTENDED, 3, LOCAL))
    tail = values[FACE * faces + 1 :].reshape(runners, OWN)
    for r in range(runners):
        f = int(packed.face_of[r])
        _port_end(packed, r, tail[r], poles[r], slope[r])
        _mouth_end(packed, r, (middle[f], axes[f], tilts[f], turns[f], own[f, 5], tail[r, 1]), poles[r], slope[r])
        slope[r] *= bounds.scale[local_columns(packed, r)]
    return Posed(
        middle=middle,
        axes=axes,
        on_tilt=tilts,
        on_turn=turns,
        pitch=own[:, 5],
        length=float(values[FACE * faces]),
        poles=poles,
        slope=slope,
    )


def _port_end(packed: Packed, r: int, own: Array, poles: Array, slope: Array) -> None:
    """Extended poles 0..2 on the port's axis and the four free ones, written in place."""
    axis, base = packed.axis[r], packed.base[packed.face_of[r]]
    poles[0] = packed.start[r]
    poles[1] = packed.start[r] + axis * packed.lead[r]
    poles[2] = poles[1] + axis * own[0]
    slope[2, :, FACE] = axis
    for i in range(4):
        poles[3 + i] = packed.start[r] + own[2 + 3 * i : 5 + 3 * i] @ base
        slope[3 + i, :, FACE + 2 + 3 * i : FACE + 5 + 3 * i] = base.T


def _mouth_end(
    packed: Packed, r: int, face: tuple[Array, Array, Array, Array, float, float], poles: Array, slope: Array
) -> None:
    """Extended poles 7..9 on the face's z, written in place. face: middle, axes, their slopes, pitch, end lead."""
    middle, axes, on_tilt, on_turn, pitch, end = face
    place, across, lead = packed.place[r], packed.across[r], packed.mouth_lead[r]
    for pole, along in ((9, 0.0), (8, -lead), (7, -lead - end)):
        poles[pole] = middle + place * pitch * axes[0] + across * axes[1] + along * axes[2]
        slope[pole, :, :3] = packed.base[packed.face_of[r]].T
        slope[pole, :, 3] = along * on_tilt[2] + across * on_tilt[1] + place * pitch * on_tilt[0]
        slope[pole, :, 4] = along * on_turn[2] + across * on_turn[1] + place * pitch * on_turn[0]
        slope[pole, :, 5] = place * axes[0]
    slope[7, :, FACE + 1] = -axes[2]


def frame_of(packed: Packed, place: Posed, f: int) -> Frame:
    """A face's frame: origin on the joint plane under the floor."""
    x, y, z = place.axes[f]
    origin = place.middle[f] - packed.faces[f].behind_mm * z
    return Frame(origin_mm=vec3(origin), x=vec3(x), y=vec3(y), z=vec3(z))
