"""What holds the work in a picture of a set-up: vice or soft jaws, plate and riser, screws and pins; and the set-up's zero."""

from collections.abc import Iterator

import numpy as np
import shapely

from tractwright.design.records import Design, Piece, Screw
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, Frame, Vec3, frame_from_normal, unit, vec3
from tractwright.make.face_features import FIXTURE_SCREWS, fixture_pair_of
from tractwright.make.feature import Face, faces_of
from tractwright.make.holding import IN_SCREW_HOLES
from tractwright.make.records import Setup
from tractwright.packet.picture.scene import Body
from tractwright.packet.picture.shapes import box, drawn_up, rod

_HELD, _STEEL, _MARK = (0.42, 0.36, 0.30), (0.24, 0.28, 0.31), (0.71, 0.34, 0.16)
_PLATE_MM, _MARGIN_MM, _RIM_MM = 14.0, 25.0, 6.0
_JAW_MM, _BED_MM, _JAW_OVER_MM = 22.0, 30.0, 12.0
_HEAD, _HEAD_HIGH_MM, _PIN_OUT_MM, _IN_RISER = 1.6, 8.0, 12.0, 0.6
"""Sizes of what is only drawn. Source: judgement."""


def holders(design: Design, piece: Piece, setup: Setup, standing_mm: Array, riser_mm: float) -> tuple[Body, ...]:
    """Everything that holds the work; standing_mm (n, 3) : points the work lies between as it is held [job frame]."""
    if setup.jaws_way is not None:
        return tuple(_jaws(setup, setup.jaws_way, standing_mm))
    face = next((face for face in faces_of(design, piece) if f"{face.name} roughed" in setup.needs), None)
    if face is None:
        return ()
    return (*_plate(design, setup, face, riser_mm), *_screws(setup, face, riser_mm))


def zero_mark(setup: Setup, long_mm: float) -> tuple[Body, ...]:
    """A disc on the set-up's zero, and from it an arrow upwards, about so long."""
    up, at = np.array(setup.floor), np.array(setup.zero_mm)
    disc, stem, tip = 0.18 * long_mm, 0.032 * long_mm, 0.10 * long_mm
    return (
        rod(at, up, (disc, disc), (0.0, 0.035 * long_mm), _MARK),
        rod(at, up, (stem, stem), (0.0, 0.76 * long_mm), _MARK),
        rod(at, up, (tip, 0.0), (0.76 * long_mm, long_mm), _MARK),
    )


def _jaws(setup: Setup, across: Vec3, standing_mm: Array) -> Iterator[Body]:
    """Two jaws on the sides of what stands between them, and the bed under it."""
    up = np.array(setup.floor)
    way = unit(np.array(across) - up * float(np.dot(across, up)))
    axes = np.stack([way, np.cross(up, way), up])
    seen = standing_mm @ axes.T
    low, high = seen.min(axis=0), seen.max(axis=0)
    held = seen[seen[:, 2] <= setup.level_mm + 1e-6]
    sides = (held if len(held) > 1 else seen)[:, 0]
    left, right, top, foot = float(sides.min()), float(sides.max()), setup.level_mm, float(low[2]) - _BED_MM
    near, far = float(low[1]) - _JAW_OVER_MM, float(high[1]) + _JAW_OVER_MM
    yield box(axes, (left - _JAW_MM, near, foot), (left, far, top), _HELD)
    yield box(axes, (right, near, foot), (right + _JAW_MM, far, top), _HELD)
    yield box(axes, (left, near, foot), (right, far, float(low[2])), _HELD)


def _plate(design: Design, setup: Setup, face: Face, riser_mm: float) -> Iterator[Body]:
    frame = frame_from_normal(face.at_mm, setup.floor, np.eye(3)[int(np.argmin(np.abs(setup.floor)))])
    ground = _ground(design, face, frame)
    yield drawn_up(ground, frame, (-riser_mm, 0.0), _HELD)
    low_x, low_y, high_x, high_y = ground.buffer(_MARGIN_MM).bounds
    x, y, z = frame.matrix() @ np.array(frame.origin_mm)
    low, high = (x + low_x, y + low_y, z - riser_mm - _PLATE_MM), (x + high_x, y + high_y, z - riser_mm)
    yield box(frame.matrix(), vec3(low), vec3(high), _HELD)


def _ground(design: Design, face: Face, frame: Frame) -> shapely.Polygon:
    """What of the face lies on the riser: the flanges' outlines there, else all that its screws stand in."""
    rings: list[Array] = []
    for flange in (flange for flange in design.flanges if flange.joint == face.joint.name):
        flat = polyline(flange.contour)
        rings.append(frame.to_local(flange.frame.to_world(np.column_stack([flat, np.zeros(len(flat))])))[:, :2])
    if not rings:
        places = np.array([_in_joint(screw) for screw in (*face.passing, *face.tapped)] or [face.at_mm])
        near = shapely.MultiPoint(frame.to_local(places)[:, :2]).convex_hull.buffer(_RIM_MM)
        rings = [shapely.get_coordinates(near.exterior)]
    whole = shapely.union_all([shapely.Polygon(ring).buffer(0.0) for ring in rings])
    return shapely.Polygon(shapely.get_exterior_ring(whole if whole.geom_type == "Polygon" else whole.convex_hull))


def _screws(setup: Setup, face: Face, riser_mm: float) -> Iterator[Body]:
    """Those that hold: from above through the face's holes, or from below into its threads or its fixture's."""
    if f"{face.name} screw seats" in setup.needs:
        yield from _from_above(setup, face, riser_mm)
        return
    own = f"{face.name} threads" in setup.needs
    pair = None if own or not face.passing else fixture_pair_of(face)
    for screw in face.tapped if own else face.passing[:FIXTURE_SCREWS]:
        size = screw.clearance_mm if pair is None else pair.mouth_mm
        yield from _screw(np.array(_in_joint(screw)), setup, size, (riser_mm + _PLATE_MM, -size))


def _from_above(setup: Setup, face: Face, riser_mm: float) -> Iterator[Body]:
    """Heads on their seats; pins in two of the holes, far apart, where it is located by them."""
    pins = _far_apart(face.passing) if IN_SCREW_HOLES in setup.locates else ()
    up = np.array(setup.floor)
    for screw in face.passing:
        seat, radius = np.array(screw.seat_mm), screw.clearance_mm / 2.0
        if screw in pins:
            yield rod(seat, up, (radius, radius), (-screw.grip_mm, _PIN_OUT_MM), _MARK)
        else:
            yield from _screw(seat, setup, screw.clearance_mm, (0.0, screw.grip_mm + _IN_RISER * riser_mm))


def _screw(at: Array, setup: Setup, size_mm: float, ends: tuple[float, float]) -> Iterator[Body]:
    """A screw through a place of its axis: how far below that its head's seat and its end lie; its head beyond the seat."""
    down, (seat, end) = -np.array(setup.floor), ends
    out, radius = (-1.0 if end > seat else 1.0), size_mm / 2.0
    yield rod(at, down, (radius, radius), (min(ends), max(ends)), _STEEL)
    head = sorted((seat, seat + out * _HEAD_HIGH_MM))
    yield rod(at, down, (_HEAD * radius, _HEAD * radius), (head[0], head[1]), _STEEL)


def _far_apart(screws: tuple[Screw, ...]) -> tuple[Screw, ...]:
    """The two that stand farthest apart."""
    places = np.array([_in_joint(screw) for screw in screws])
    off = np.linalg.norm(places[:, None] - places[None], axis=2)
    first, second = np.unravel_index(int(np.argmax(off)), off.shape)
    return screws[first], screws[second]


def _in_joint(screw: Screw) -> Vec3:
    return vec3(np.array(screw.seat_mm) + np.array(screw.direction) * screw.grip_mm)
