"""Plate-like solids made face by face and sewn: rounded roots, floors, entries and broken edges without one boolean.

A blend surface here is exactly what the cutter leaves: a cylinder along a line, a torus round an arc.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import hypot, pi

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.gp import gp_Ax1, gp_Vec
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face
from shapely.geometry import Point, Polygon

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, Vertex, arc_of, polyline
from tractwright.geometry.frames import Frame, vec3
from tractwright.geometry.offsets import is_smooth, offset_contour
from tractwright.kernel.sewing import plane_face, sewn_solid
from tractwright.kernel.solid import Solid, faces_of
from tractwright.kernel.wires import (
    arc_edge,
    axis,
    circle_wire,
    contour_wire,
    direction,
    ellipse_quarter_edge,
    point,
)

_Place = tuple[float, float]
_QUARTER = pi / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A bore out of a flat face with a rounded mouth.

    frame : origin on the face at the bore's centre, z into the metal; lip_across_mm, lip_deep_mm : half axes of the
    mouth's quarter ellipse along the face and along the bore, 0 both for a sharp mouth; length_mm : from the face.
    """

    frame: Frame
    bore_mm: float
    lip_across_mm: float
    lip_deep_mm: float
    length_mm: float

    @property
    def mouth_radius_mm(self) -> float:
        """Radius of the circle where the mouth meets the face."""
        return self.bore_mm / 2.0 + self.lip_across_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """A stretch of a side's section, as (offset from the contour, height): a line, or a quarter arc about `centre`."""

    start: _Place
    end: _Place
    centre: _Place | None = None


def plate(contour: Contour, frame: Frame, thickness_mm: float, break_mm: float) -> Solid:
    """A plate from z = 0 to its thickness with the far edge chamfered. The contour must be smooth where break > 0."""
    sides, top = _broken_side(contour, frame, (0.0, thickness_mm), break_mm)
    faces = [_level(contour, frame, 0.0), *sides, _level(top, frame, thickness_mm)]
    return sewn_solid(faces, "a plate with a broken edge")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """What stands on a plate: its outline, its root radius where it leaves the plate, its height from z = 0."""

    outline: Contour
    root_mm: float
    height_mm: float


def plate_with_stand(contour: Contour, frame: Frame, thickness_mm: float, stand: Stand, break_mm: float) -> Solid:
    """A plate with a prism on it: rounded root, the plate's upper edge and the prism's top edge chamfered.

    Contours must be smooth; the root must end inside the plate's broken edge. Raises KernelError otherwise.
    """
    root = stand.root_mm
    foot = _checked_offset(stand.outline, root)
    sides, rim = _broken_side(contour, frame, (0.0, thickness_mm), break_mm)
    if not Polygon(polyline(rim)).contains(Polygon(polyline(foot))):
        raise KernelError("a root on a plate", "the root runs over the plate's edge")
    blend = Profile(start=(root, thickness_mm), end=(0.0, thickness_mm + root), centre=(root, thickness_mm + root))
    walls, top = _broken_side(stand.outline, frame, (thickness_mm + root, stand.height_mm), break_mm)
    faces = [
        _level(contour, frame, 0.0),
        *sides,
        _level(rim, frame, thickness_mm, (foot,)),
        *_swept(stand.outline, frame, blend),
        *walls,
        _level(top, frame, stand.height_mm),
    ]
    return sewn_solid(faces, "a plate with walls on it")


def chamber(
    contour: Contour, frame: Frame, height_mm: float, floor_radius_mm: float, entries: Sequence[Entry]
) -> Solid:
    """The space of a box with a rounded floor (z = 0) and bores with rounded mouths out of its flat faces.

    Raises KernelError where an entry lies on no flat face or a mouth runs over the edge of its face.
    """
    radius = floor_radius_mm
    floor = _checked_offset(contour, -radius) if radius > 0.0 else contour
    left = list(entries)
    faces = [_pierced(floor, frame, -1.0, left), _level(contour, frame, height_mm)]
    if radius > 0.0:
        faces += _swept(contour, frame, Profile(start=(-radius, 0.0), end=(0.0, radius), centre=(-radius, radius)))
    for start, end in _segments(contour):
        if abs(start[2]) >= 1e-12:
            faces += _swept_segment(frame, start, end, Profile(start=(0.0, radius), end=(0.0, height_mm)))
        else:
            faces.append(_wall(frame, (start, end), (radius, height_mm), left))
    if left:
        raise KernelError("a chamber with entries", "an entry lies on no flat face")
    for entry in entries:
        faces += _entry_faces(entry)
    return sewn_solid(faces, "a chamber with entries")


def entry_cutter(entry: Entry) -> Solid:
    """A bore with a rounded mouth as a solid of its own, from its face to its end."""
    mouth = plane_face(entry.frame, circle_wire(entry.frame, entry.mouth_radius_mm))
    return sewn_solid([mouth, *_entry_faces(entry)], "a bore with a rounded mouth")


def _segments(contour: Contour) -> list[tuple[Vertex, Vertex]]:
    return list(zip(contour, contour[1:] + contour[:1], strict=True))


def _checked_offset(contour: Contour, distance_mm: float) -> Contour:
    moved = offset_contour(contour, distance_mm)
    if not is_smooth(contour) or len(moved) != len(contour) or not Polygon(polyline(moved)).is_valid:
        raise KernelError("a rounded edge", f"the contour cannot carry a radius of {abs(distance_mm):.2f} mm")
    return moved


def _broken_side(
    contour: Contour, frame: Frame, span: tuple[float, float], break_mm: float
) -> tuple[list[TopoDS_Face], Contour]:
    """The upright side of a contour with its upper edge chamfered, and the contour that is left on top."""
    low, high = span
    faces = _swept(contour, frame, Profile(start=(0.0, low), end=(0.0, high - break_mm)))
    if break_mm <= 0.0:
        return faces, contour
    top = _checked_offset(contour, -break_mm)
    return faces + _swept(contour, frame, Profile(start=(0.0, high - break_mm), end=(-break_mm, high))), top


def _level(contour: Contour, frame: Frame, height_mm: float, holes: Iterable[Contour] = ()) -> TopoDS_Face:
    level = frame.moved((0.0, 0.0, height_mm))
    return plane_face(level, contour_wire(contour, level), [contour_wire(hole, level) for hole in holes])


def _swept(contour: Contour, frame: Frame, profile: Profile) -> list[TopoDS_Face]:
    return [face for start, end in _segments(contour) for face in _swept_segment(frame, start, end, profile)]


def _swept_segment(frame: Frame, start: Vertex, end: Vertex, profile: Profile) -> list[TopoDS_Face]:
    """The profile carried along one line or round one arc."""
    if abs(start[2]) < 1e-12:
        length = hypot(end[0] - start[0], end[1] - start[1])
        outwards = (end[1] - start[1]) / length, (start[0] - end[0]) / length
        run = vec3(frame.turn((end[0] - start[0], end[1] - start[1], 0.0)))
        return faces_of(BRepPrimAPI_MakePrism(_profile_edge(frame, start, outwards, profile), gp_Vec(*run)).Shape())
    cx, cy, radius, _, sweep = arc_of(start, end)
    side = 1.0 if sweep > 0 else -1.0
    outwards = side * (start[0] - cx) / radius, side * (start[1] - cy) / radius
    if any(radius + side * offset < 1e-3 for offset, _ in (profile.start, profile.end)):
        raise KernelError("a rounded edge", f"an arc of radius {radius:.2f} mm is too tight for it")
    turn = axis(frame, cx, cy) if side > 0 else gp_Ax1(point(frame, cx, cy), direction(vec3(frame.turn((0, 0, -1)))))
    edge = _profile_edge(frame, start, outwards, profile)
    return faces_of(BRepPrimAPI_MakeRevol(edge, turn, abs(sweep)).Shape())


def _profile_edge(frame: Frame, start: Vertex, outwards: _Place, profile: Profile) -> TopoDS_Edge:
    """The profile in the plane square to the contour at a segment's start."""
    origin = vec3(frame.to_world((start[0], start[1], 0.0)))
    x, z = frame.turn((*outwards, 0.0)), frame.turn((outwards[1], -outwards[0], 0.0))
    square = Frame(origin_mm=origin, x=vec3(x), y=frame.z, z=vec3(z))
    if profile.centre is None:
        return BRepBuilderAPI_MakeEdge(point(square, *profile.start), point(square, *profile.end)).Edge()
    (sx, sy), (ex, ey), (cx, cy) = profile.start, profile.end, profile.centre
    turn = (sx - cx) * (ey - cy) - (sy - cy) * (ex - cx)
    return arc_edge(square, profile.centre, profile.start, _QUARTER if turn > 0 else -_QUARTER)


def _pierced(contour: Contour, frame: Frame, outwards: float, left: list[Entry]) -> TopoDS_Face:
    """The flat face inside a contour of the frame's x-y with the mouths of its entries cut out.

    outwards : 1 or -1, the way along the frame's z into the metal. Entries that lie on the face are taken off the list.
    """
    area = Polygon(polyline(contour))
    here = [entry for entry in left if _lies_on(entry, frame, outwards) and _within(area, frame, entry)]
    for entry in here:
        left.remove(entry)
    return plane_face(frame, contour_wire(contour, frame), [circle_wire(e.frame, e.mouth_radius_mm) for e in here])


def _wall(frame: Frame, segment: tuple[Vertex, Vertex], span: tuple[float, float], left: list[Entry]) -> TopoDS_Face:
    """The flat wall over a straight segment, with the mouths of its entries cut out."""
    (x0, y0, _), (x1, y1, _) = segment
    length = hypot(x1 - x0, y1 - y0)
    run = vec3(frame.turn(((x1 - x0) / length, (y1 - y0) / length, 0.0)))
    outwards = vec3(frame.turn(((y1 - y0) / length, (x0 - x1) / length, 0.0)))
    face_frame = Frame(origin_mm=vec3(frame.to_world((x0, y0, 0.0))), x=run, y=frame.z, z=outwards)
    low, high = span
    rectangle: Contour = ((0.0, low, 0.0), (length, low, 0.0), (length, high, 0.0), (0.0, high, 0.0))
    return _pierced(rectangle, face_frame, 1.0, left)


def _lies_on(entry: Entry, frame: Frame, outwards: float) -> bool:
    off = frame.to_local(entry.frame.origin_mm)[2]
    return abs(off) < 1e-6 and outwards * float(np.dot(frame.z, entry.frame.z)) > 1.0 - 1e-12


def _within(area: Polygon, frame: Frame, entry: Entry) -> bool:
    x, y, _ = frame.to_local(entry.frame.origin_mm)
    return bool(area.contains(Point(x, y).buffer(entry.mouth_radius_mm)))


def _entry_faces(entry: Entry) -> list[TopoDS_Face]:
    """The rounded mouth, the bore and the disc at its end."""
    frame, radius = entry.frame, entry.bore_mm / 2.0
    half_plane = Frame(origin_mm=frame.origin_mm, x=frame.x, y=frame.z, z=vec3([-c for c in frame.y]))
    deep = entry.lip_deep_mm if entry.lip_across_mm > 0.0 else 0.0
    edges = [
        BRepBuilderAPI_MakeEdge(point(half_plane, radius, deep), point(half_plane, radius, entry.length_mm)).Edge()
    ]
    if deep > 0.0:
        edges.append(ellipse_quarter_edge(half_plane, (radius + entry.lip_across_mm, deep), entry.lip_across_mm, deep))
    end = frame.moved((0.0, 0.0, entry.length_mm))
    faces = [face for edge in edges for face in faces_of(BRepPrimAPI_MakeRevol(edge, axis(frame)).Shape())]
    return [*faces, plane_face(end, circle_wire(end, radius))]
