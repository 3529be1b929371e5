"""Which feature each sample of a piece's surface belongs to: joint face, hole, seat, groove, passage, chamber, or outside."""

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
import shapely
from scipy.spatial import KDTree

from tractwright.design.channel_space import drillings, flange_of, opening, outside_mm
from tractwright.design.housing import housing_of
from tractwright.design.records import Design, Piece, Screw, Throttle
from tractwright.design.throttled import throttles_through
from tractwright.design.tube import tube
from tractwright.geometry.contours import polyline, spread_points
from tractwright.geometry.frames import Array, vec3
from tractwright.make.feature import Face, bore_name, faces_of
from tractwright.make.samples import Samples
from tractwright.standards.threads import thread

OUTSIDE = ""
_INSIDE = "inside of "
_ON_MM = 0.35
_NEAR_MM = 0.8
Mask = npt.NDArray[np.bool_]


def is_inside(name: str) -> bool:
    """Whether a sample's owner is a chamber."""
    return name.startswith(_INSIDE)


def owners_of(design: Design, piece: Piece, samples: Samples) -> npt.NDArray[np.str_]:
    """Name (n,) of what each sample belongs to; '' for the outside. The first that claims a sample keeps it."""
    names = np.full(len(samples.points_mm), OUTSIDE, dtype="<U80")
    claims = [claim for face in faces_of(design, piece) for claim in _of_face(design, piece, samples, face)]
    for mask, name in (*claims, *_of_inside(design, piece, samples), *_of_channels(design, piece, samples)):
        names[mask & (names == OUTSIDE)] = name
    return names


def _of_face(design: Design, piece: Piece, samples: Samples, face: Face) -> Iterator[tuple[Mask, str]]:
    for screw in (*face.passing, *face.tapped):
        yield _in_hole(samples, screw), f"{face.name} screw holes"
    for dowel in (item for item in design.dowels if item.joint == face.joint.name):
        on_pin = on_rod(samples, dowel.at_mm, dowel.direction, dowel.diameter_mm, 30.0)
        yield on_pin, f"{face.name} dowel holes"
    for throttle in design.throttles if face.joint.kind == "body" else ():
        for at in throttle.frame.to_world(np.array(throttle.holes_mm).reshape(-1, 2)):
            on_thread = on_rod(samples, vec3(at), throttle.frame.z, 1.1 * thread(throttle.hole_thread).major_mm, 25.0)
            yield on_thread & (np.abs(samples.normals @ np.array(throttle.frame.z)) < 0.8), f"{face.name} screw holes"
    yield _on_face(samples, face), f"{face.name} finished"
    yield _in_groove(design, piece, samples, face), f"{face.name} groove"
    for screw in face.passing:
        yield _on_seat(samples, screw), f"{face.name} screw seats"


def _of_inside(design: Design, piece: Piece, samples: Samples) -> Iterator[tuple[Mask, str]]:
    for runner in design.runners if piece.kind in ("head", "middle") else ():
        yield _in_tube(samples, tube(runner, design).inner_mm), f"passage {runner.name}"
    for throttle in throttles_through(piece, design) if piece.kind in ("plenum", "cover", "neck") else ():
        yield _in_bore(samples, throttle), bore_name(throttle, design)
    for plenum in (item for item in design.plena if housing_of(item, design) == piece.name):
        yield _in_chamber(design, samples, plenum.name), f"{_INSIDE}{plenum.name} with lips"


def _of_channels(design: Design, piece: Piece, samples: Samples) -> Iterator[tuple[Mask, str]]:
    for channel in design.channels:
        flange = flange_of(channel, design)
        if flange.piece != piece.name:
            continue
        for number, hole in enumerate(drillings(channel, design), start=1):
            middle = np.array(hole.start_mm) - np.array(hole.out) * hole.hole_depth_mm / 2.0
            wide = max(hole.hole_mm, 1.1 * outside_mm(hole.thread))
            on_it = on_rod(samples, vec3(middle), hole.out, wide, hole.hole_depth_mm / 2.0 + 1.0)
            yield on_it & (np.abs(samples.normals @ np.array(hole.out)) < 0.9), f"drilling {number} of {channel.name}"
        local = flange.frame.to_local(samples.points_mm)
        grown = shapely.Polygon(polyline(opening(channel))).buffer(_ON_MM)
        inside = shapely.contains_xy(grown, local[:, 0], local[:, 1])
        yield inside & (local[:, 2] > _ON_MM) & (local[:, 2] < channel.recess_mm + _ON_MM), f"opening of {channel.name}"


def on_rod(samples: Samples, at: tuple[float, ...], along: tuple[float, ...], diameter: float, long: float) -> Mask:
    """On the wall or the end of a round hole about an axis, within a length either way."""
    away = samples.points_mm - np.array(at)
    height = away @ np.array(along)
    off = np.linalg.norm(away - height[:, None] * np.array(along), axis=1)
    return (off < diameter / 2 + _NEAR_MM) & (np.abs(height) < long) & (off > 0.0)


def _in_hole(samples: Samples, screw: Screw) -> Mask:
    wall = np.abs(samples.normals @ np.array(screw.direction)) < 0.8
    return wall & on_rod(samples, screw.seat_mm, screw.direction, screw.clearance_mm, screw.length_mm + 20.0)


def _on_face(samples: Samples, face: Face) -> Mask:
    height = (samples.points_mm - np.array(face.at_mm)) @ np.array(face.out)
    return (np.abs(height) < _ON_MM) & (samples.normals @ np.array(face.out) > 0.99)


def _on_seat(samples: Samples, screw: Screw) -> Mask:
    back = -np.array(screw.direction)
    away = samples.points_mm - np.array(screw.seat_mm)
    height = away @ back
    off = np.linalg.norm(away - height[:, None] * back, axis=1)
    reach = max(screw.post_mm, screw.counterbore_mm, 2 * screw.clearance_mm) / 2 + _NEAR_MM
    return (np.abs(height) < _NEAR_MM) & (off < reach) & (samples.normals @ back > 0.98)


def _in_groove(design: Design, piece: Piece, samples: Samples, face: Face) -> Mask:
    found = np.zeros(len(samples.points_mm), dtype=bool)
    depth = -(samples.points_mm - np.array(face.at_mm)) @ np.array(face.out)
    for seal in design.seals:
        if (seal.joint, seal.kind, seal.piece) == (face.joint.name, "cord", piece.name):
            path = face.joint.frame.to_world(spread_points(seal.path, 400))
            flat = samples.points_mm + depth[:, None] * np.array(face.out)
            off, _ = KDTree(path).query(flat)
            low = (depth > 0.0) & (depth < seal.groove_depth_mm + _ON_MM)
            found |= low & (off < seal.groove_width_mm / 2 + _NEAR_MM)
    return found


def _in_tube(samples: Samples, inner_mm: Array) -> Mask:
    """On a runner's inner skin and looking towards its middle."""
    middle = inner_mm.mean(axis=1, keepdims=True)
    off, nearest = KDTree(inner_mm.reshape(-1, 3)).query(samples.points_mm, distance_upper_bound=4.0)
    near = np.isfinite(off)
    towards = np.broadcast_to(middle, inner_mm.shape).reshape(-1, 3)[np.where(near, nearest, 0)] - samples.points_mm
    return near & (np.sum(towards * samples.normals, axis=1) > 0.0)


def _in_bore(samples: Samples, throttle: Throttle) -> Mask:
    back = -np.array(throttle.frame.z)
    away = samples.points_mm - np.array(throttle.frame.origin_mm)
    along = away @ back
    flat = away - along[:, None] * back
    off = np.linalg.norm(flat, axis=1)
    inwards = np.sum(flat * samples.normals, axis=1) < -0.7 * off
    return inwards & (off < throttle.bore_mm / 2 + 2.5) & (along > -1.0) & (along < throttle.neck_mm + 40.0)


def _in_chamber(design: Design, samples: Samples, name: str) -> Mask:
    plenum = next(item for item in design.plena if item.name == name)
    x, y, z = (plenum.frame.to_local(samples.points_mm)).T
    wide = np.abs(x - plenum.centre_mm[0]) < plenum.width_mm / 2 + _NEAR_MM
    high = np.abs(y - plenum.centre_mm[1]) < plenum.height_mm / 2 + _NEAR_MM
    box = wide & high & (z > plenum.floor_mm - _NEAR_MM)
    mouths = [r.mouth for r in design.runners if r.mouth.plenum == name]
    for mouth in mouths:
        off = np.hypot(x - mouth.at_mm[0], y - mouth.at_mm[1])
        box |= (off < mouth.bore_mm / 2 + mouth.lip_radius_mm + 1.0) & (z > 0.2) & (z < plenum.floor_mm + 1.0)
    return box
