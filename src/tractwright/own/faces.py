"""Joint faces of a solid: plane faces that lie in one plane, looked at from outside, with what opens in them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from tractwright.geometry.contours import Contour, contour_area, counter_clockwise, polyline
from tractwright.geometry.frames import Array, Frame, frame_from_normal
from tractwright.kernel.body import Body, EdgeUse, loop_contour, loop_points
from tractwright.own.holes import Loop, hole_from, is_round
from tractwright.own.lands import with_lands
from tractwright.own.records import Groove, Hole, JointFace, Opening
from tractwright.own.slots import slot_from

LEAST_OPENING_MM2 = 80.0
"""A smaller opening that is no hole carries no air: a screw's socket, a letter. Source: judgement."""
_SAME_MM = 2e-3
_PARALLEL = 1e-8
_STEEP = 0.05
_WIDEST_GROOVE_MM = 12.0
_EVEN_SHARE = 0.35
_DEEPEST_GROOVE_MM = 12.0
_LEAST_HOLES = 3
_CHORD_MM = 0.002


@dataclass(frozen=True, eq=False, slots=True)
class _Plane:
    """Coplanar faces that look the same way."""

    faces: tuple[int, ...]
    normal: Array


@dataclass(frozen=True, eq=False, slots=True)
class _Mouth:
    """An inner loop of a plane face that goes into the metal, and the face."""

    loop: Loop
    face: int


def all_holes(body: Body) -> tuple[Hole, ...]:
    """Every round hole that opens in a plane face, read from every such face."""
    mouths = [(loop, index) for index, face in enumerate(body.faces) if face.kind == "plane" for loop in face.loops[1:]]
    into = [(loop, index) for loop, index in mouths if _rise(body, loop, np.array(body.faces[index].axis)) < -_STEEP]
    found = (_hole(body, loop, index) for loop, index in into)
    return tuple(hole for hole in found if hole is not None)


def _hole(body: Body, loop: Loop, face: int) -> Hole | None:
    """The round or slotted hole that a loop leads into."""
    return hole_from(body, loop, face) or slot_from(body, loop, face)


def joint_faces(body: Body) -> tuple[JointFace, ...]:
    """Faces another part can bear on, those with the largest openings first, then those with the most holes."""
    found = [face for plane in _planes(body) if (face := _joint_face(body, plane)) is not None]
    found.sort(
        key=lambda face: (-sum(o.area_mm2 for o in face.openings), -len(face.grooves), -len(face.holes), -face.area_mm2)
    )
    return tuple(replace(face, name=f"face {number}") for number, face in enumerate(found, start=1))


def _planes(body: Body) -> list[_Plane]:
    """Plane faces by the plane they lie in and the side they look to."""
    left = np.array([index for index, face in enumerate(body.faces) if face.kind == "plane"], dtype=np.int64)
    normals = np.array([body.faces[index].axis for index in left]).reshape(-1, 3)
    places = np.array([loop_points(body.faces[index].loops[0])[0] for index in left]).reshape(-1, 3)
    found: list[_Plane] = []
    while len(left):
        same = (normals @ normals[0] > 1.0 - _PARALLEL) & (np.abs((places - places[0]) @ normals[0]) < _SAME_MM)
        found.append(_Plane(tuple(left[same].tolist()), normals[0]))
        left, normals, places = left[~same], normals[~same], places[~same]
    return found


def _rise(body: Body, loop: Loop, normal: Array) -> float:
    """How the metal across a loop goes: along the normal (a boss, a wall) or against it (an edge, an opening).

    A face that leaves the plane tangentially, a root or a rounded mouth, is told by which side of it its triangles lie.
    """
    lengths = np.array([np.linalg.norm(np.diff(use.points_mm, axis=0), axis=1).sum() for use in loop])
    rises = np.array([_rise_of(body, use, normal) for use in loop])
    return float(rises @ lengths / lengths.sum())


def _rise_of(body: Body, use: EdgeUse, normal: Array) -> float:
    slope = float(np.dot(use.into, normal))
    if abs(slope) > _STEEP or use.other < 0:
        return slope
    heights = (body.faces[use.other].mesh[0] - use.points_mm[0]) @ normal
    return float(np.sign(np.round(heights[int(np.argmax(np.abs(heights)))], 4)))


def _joint_face(body: Body, plane: _Plane) -> JointFace | None:
    """None where something stands up from the plane, or nothing to join is in it."""
    loops = [loop for face in plane.faces for loop in body.faces[face].loops]
    if any(_rise(body, loop, plane.normal) > _STEEP for loop in loops):
        return None
    rough = frame_from_normal(loop_points(loops[0])[0], plane.normal, np.eye(3)[int(np.argmin(np.abs(plane.normal)))])
    rings = _rings(body, plane, rough)
    edges = {id(outer) for outer, _ in rings}
    mouths = [_Mouth(loop, f) for f in plane.faces for loop in body.faces[f].loops[1:] if id(loop) not in edges]
    holes = [(mouth, _hole(body, mouth.loop, mouth.face)) for mouth in mouths]
    drilled = [hole for _, hole in holes if hole is not None]
    open_ = [m for m, hole in holes if hole is None and polygon_of(m.loop, rough).area > LEAST_OPENING_MM2]
    if not open_ and len(drilled) < _LEAST_HOLES:
        return None
    outers = [body.faces[face].loops[0] for face in plane.faces]
    outers = [loop for loop in outers if all(loop is not inner for _, inner in rings)]
    frame = _laid(rough, [mouth.loop for mouth in open_] or outers)
    openings = sorted((_opening(mouth, frame) for mouth in open_), key=lambda item: item.centre_mm)
    face = JointFace(
        name="",
        frame=frame,
        outlines=tuple(_contour(loop, frame) for loop in outers),
        area_mm2=sum(body.faces[index].area_mm2 for index in plane.faces),
        openings=tuple(replace(item, name=f"opening {k}") for k, item in enumerate(openings, start=1)),
        holes=tuple(sorted(drilled, key=lambda hole: tuple(frame.to_local(hole.at_mm)[:2]))),
        grooves=tuple(_groove(body, plane, frame, *ring) for ring in rings),
        faces=frozenset(plane.faces),
    )
    return with_lands(face)


def _rings(body: Body, plane: _Plane, frame: Frame) -> list[tuple[Loop, Loop]]:
    """Outer and inner edge of every closed groove: a loop of one face round the outer loop of another, evenly apart."""
    found: list[tuple[Loop, Loop]] = []
    islands = [(face, polygon_of(body.faces[face].loops[0], frame)) for face in plane.faces]
    for face in plane.faces:
        for loop in body.faces[face].loops[1:]:
            edge = polygon_of(loop, frame)
            within = [k for k, island in islands if k != face and edge.contains(island.representative_point())]
            if len(within) == 1 and _even(edge, polygon_of(body.faces[within[0]].loops[0], frame)):
                found.append((loop, body.faces[within[0]].loops[0]))
    return found


def _even(outer: shapely.Polygon, inner: shapely.Polygon) -> bool:
    width = _apart(outer, inner)
    return bool(np.median(width) < _WIDEST_GROOVE_MM and np.ptp(width) < _EVEN_SHARE * np.median(width))


def _apart(outer: shapely.Polygon, inner: shapely.Polygon) -> Array:
    """Distance of points along the inner edge from the outer one."""
    places = np.linspace(0.0, inner.exterior.length, 200, endpoint=False)
    return shapely.distance(shapely.line_interpolate_point(inner.exterior, places), outer.exterior)


def _groove(body: Body, plane: _Plane, frame: Frame, outer: Loop, inner: Loop) -> Groove:
    """Depth by the deepest plane floor that lies between the walls, width between the two edges."""
    width = float(np.median(_apart(polygon_of(outer, frame), polygon_of(inner, frame))))
    depth, here, seen = 0.0, {use.other for use in outer}, set(plane.faces)
    for _ in range(3):
        floors = [body.faces[i] for i in here if i >= 0 and body.faces[i].kind == "plane"]
        level = [f for f in floors if float(np.dot(f.axis, plane.normal)) > 1.0 - _PARALLEL]
        depths = [-float(frame.to_local(loop_points(f.loops[0])[0])[2]) for f in level]
        depth = max([depth, *(d for d in depths if d < _DEEPEST_GROOVE_MM)])
        seen |= here
        here = {use.other for i in here if i >= 0 for run in body.faces[i].loops for use in run} - seen
    return Groove(
        outer=_contour(outer, frame),
        inner=_contour(inner, frame),
        width_mm=width,
        depth_mm=depth,
    )


def _laid(rough: Frame, loops: Sequence[Loop]) -> Frame:
    """Origin amid the openings, x along their row (the longest way of one alone), towards the greater coordinate."""
    places = [np.array(polygon_of(loop, rough).centroid.coords[0]) for loop in loops]
    middle = (np.min(places, axis=0) + np.max(places, axis=0)) / 2.0
    spread = np.array(places) if len(places) > 1 else rough.to_local(loop_points(loops[0]))[:, :2]
    _, _, ways = np.linalg.svd(spread - spread.mean(axis=0), full_matrices=False)
    along = rough.turn(np.array([*ways[0], 0.0]))
    along = np.round(along / np.abs(along).max(), 9)
    sense = 1.0 if along[int(np.argmax(np.abs(along) > 1.0 - 1e-6))] > 0.0 else -1.0
    return frame_from_normal(rough.to_world(middle), rough.z, along * sense)


def polygon_of(loop: Loop, frame: Frame) -> shapely.Polygon:
    """A loop as a fine polygon in a frame's x-y."""
    return shapely.Polygon(frame.to_local(loop_points(loop))[:, :2])


def _opening(mouth: _Mouth, frame: Frame) -> Opening:
    contour = _contour(mouth.loop, frame)
    width, height = np.ptp(polyline(contour, _CHORD_MM), axis=0)
    x, y = polygon_of(mouth.loop, frame).centroid.coords[0]
    return Opening(
        name="",
        contour=contour,
        centre_mm=(float(x), float(y)),
        area_mm2=contour_area(contour),
        size_mm=(float(width), float(height)),
        round=is_round(mouth.loop),
        inside=frozenset(use.other for use in mouth.loop if use.other >= 0),
    )


def _contour(loop: Loop, frame: Frame) -> Contour:
    """A loop as a contour, counter-clockwise."""
    return counter_clockwise(loop_contour(loop, frame))
