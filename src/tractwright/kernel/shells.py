"""Plate-like solids made face by face and sewn: rounded roots, floors, mouths and broken edges without one boolean."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Wire
from shapely.geometry import Point, Polygon

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, Vertex, polyline
from tractwright.geometry.frames import Frame, vec3
from tractwright.kernel.bands import Profile, broken_side, level, rounded_offset, segments, swept, swept_segment
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.sewing import plane_face, sewn_solid
from tractwright.kernel.solid import Solid, faces_of
from tractwright.kernel.wires import arc_edge, axis, circle_wire, contour_wire, ellipse_quarter_edge, point

_HALF_PI = np.pi / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Slab:
    """A plate from the frame's x-y along its z; the edge far from that plane is chamfered by break_mm."""

    contour: Contour
    frame: Frame
    thickness_mm: float
    break_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """What stands on a slab: outline in the slab's frame, root radius, height from z = 0, chamfer of its top edge."""

    outline: Contour
    root_mm: float
    height_mm: float
    break_mm: float = 0.0


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
class Tubing:
    """A straight round tube. axis : origin on the first slab's plane, z along it; roots_mm : root radius at each end."""

    axis: Frame
    length_mm: float
    bore_mm: float
    outer_mm: float
    roots_mm: tuple[float, float]


@kernel_step("a plate with what stands on it")
def plate(slab: Slab, stands: Sequence[Stand] = (), passages: Sequence[Entry] = ()) -> Solid:
    """A plate, its far edge chamfered, with prisms on it whose roots are rounded, and passages from z = 0 right through.

    A passage ends in the top of the stand it lies under, else in the plate's far face. Every root must end inside the
    plate's upper edge. Raises KernelError where it does not, or where a contour that is to be rounded has corners.
    """
    floor, frame = slab.thickness_mm, slab.frame
    left = list(passages)
    sides, rim = broken_side(slab.contour, frame, (0.0, floor), slab.break_mm)
    faces = [*sides, _pierced(slab.contour, frame, 1.0, left)]
    if left:
        raise KernelError("a passage through a plate", "its mouth runs over the plate's edge")
    left, feet = list(passages), list[Contour]()
    for stand in stands:
        foot = rounded_offset(stand.outline, stand.root_mm) if stand.root_mm > 0.0 else stand.outline
        if not Polygon(polyline(rim)).contains(Polygon(polyline(foot)).buffer(0.01)):
            raise KernelError("a root on a plate", "the root runs over the plate's edge")
        feet.append(foot)
        faces += _stand_faces(slab, stand, left)
    through = [(entry, floor) for entry in left]
    faces += [_outer_face(rim, frame, floor, feet, through), *(f for entry in passages for f in _entry_faces(entry))]
    return sewn_solid(faces, "a plate with what stands on it")


@kernel_step("a chamber with entries")
def chamber(
    contour: Contour, frame: Frame, height_mm: float, floor_radius_mm: float, entries: Sequence[Entry]
) -> Solid:
    """The space of a box with a rounded floor (z = 0) and bores with rounded mouths out of its flat faces.

    Raises KernelError where an entry lies on no flat face or a mouth runs over the edge of its face.
    """
    radius = floor_radius_mm
    floor = rounded_offset(contour, -radius) if radius > 0.0 else contour
    left = list(entries)
    faces = [_pierced(floor, frame, -1.0, left), level(contour, frame, height_mm)]
    if radius > 0.0:
        faces += swept(contour, frame, Profile(start=(-radius, 0.0), end=(0.0, radius), centre=(-radius, radius)))
    for start, end in segments(contour):
        if abs(start[2]) >= 1e-12:
            faces += swept_segment(frame, start, end, Profile(start=(0.0, radius), end=(0.0, height_mm)))
        else:
            faces.append(_wall(frame, (start, end), (radius, height_mm), left))
    if left:
        raise KernelError("a chamber with entries", "a mouth lies on no flat face or runs over its edge")
    for entry in entries:
        faces += [*_entry_faces(entry), _disc(entry.frame.moved((0.0, 0.0, entry.length_mm)), entry.bore_mm / 2.0)]
    return sewn_solid(faces, "a chamber with entries")


@kernel_step("a tube between two flanges")
def flanged_tube(first: Slab, second: Slab, tubing: Tubing) -> Solid:
    """A tube between two plates that face each other, bored through, both roots rounded.

    second : its z runs against the tube's. Raises KernelError where a root finds no room.
    """
    outer, line = tubing.outer_mm / 2.0, tubing.axis
    lower, upper = tubing.roots_mm
    low, high = first.thickness_mm, tubing.length_mm - second.thickness_mm
    if high - low < lower + upper + 0.1:
        raise KernelError("a tube between two flanges", "no length is left between the roots")
    half_plane = _half_plane(line)
    edges = [
        _line(half_plane, (outer, low + lower), (outer, high - upper)),
        _line(half_plane, (tubing.bore_mm / 2.0, 0.0), (tubing.bore_mm / 2.0, tubing.length_mm)),
    ]
    if lower > 0.0:
        edges.append(arc_edge(half_plane, (outer + lower, low + lower), (outer + lower, low), -_HALF_PI))
    if upper > 0.0:
        edges.append(arc_edge(half_plane, (outer + upper, high - upper), (outer, high - upper), -_HALF_PI))
    faces = _revolved(edges, line)
    ends = ((first, 0.0, low, outer + lower), (second, tubing.length_mm, high, outer + upper))
    for slab, near, far, foot in ends:
        faces += _flange_faces(slab, line, (near, tubing.bore_mm / 2.0), (far, foot))
    return sewn_solid(faces, "a tube between two flanges")


def _flange_faces(slab: Slab, line: Frame, bore: tuple[float, float], foot: tuple[float, float]) -> list[TopoDS_Face]:
    """A flange with the bore in its joint face and the root's ring in the other: each (height on the line, radius)."""
    sides, rim = broken_side(slab.contour, slab.frame, (0.0, slab.thickness_mm), slab.break_mm)
    _hold_circle(rim, slab.frame, line, foot[1])
    upper = slab.frame.moved((0.0, 0.0, slab.thickness_mm))
    rings = [circle_wire(line.moved((0.0, 0.0, height)), radius) for height, radius in (bore, foot)]
    return [
        *sides,
        plane_face(slab.frame, contour_wire(slab.contour, slab.frame), [rings[0]]),
        plane_face(upper, contour_wire(rim, upper), [rings[1]]),
    ]


def _hold_circle(rim: Contour, frame: Frame, line: Frame, radius_mm: float) -> None:
    x, y, _ = frame.to_local(line.origin_mm)
    if not Polygon(polyline(rim)).contains(Point(x, y).buffer(radius_mm)):
        raise KernelError("a tube between two flanges", "the root runs over a flange's edge")


def _stand_faces(slab: Slab, stand: Stand, left: list[Entry]) -> list[TopoDS_Face]:
    """Root, walls and top of a stand, passages under it ending in the top: those are taken off the list."""
    floor, root = slab.thickness_mm, stand.root_mm
    walls, top = broken_side(stand.outline, slab.frame, (floor + root, stand.height_mm), stand.break_mm)
    if root > 0.0:
        blend = Profile(start=(root, floor), end=(0.0, floor + root), centre=(root, floor + root))
        walls += swept(stand.outline, slab.frame, blend)
    here = [entry for entry in left if _within(Polygon(polyline(top)), slab.frame, entry)]
    for entry in here:
        left.remove(entry)
    return [*walls, _outer_face(top, slab.frame, stand.height_mm, (), [(entry, stand.height_mm) for entry in here])]


def _outer_face(
    contour: Contour, frame: Frame, height_mm: float, feet: Sequence[Contour], exits: Sequence[tuple[Entry, float]]
) -> TopoDS_Face:
    upper = frame.moved((0.0, 0.0, height_mm))
    holes = [circle_wire(entry.frame.moved((0.0, 0.0, end)), entry.bore_mm / 2.0) for entry, end in exits]
    return plane_face(upper, contour_wire(contour, upper), [*(contour_wire(foot, upper) for foot in feet), *holes])


def _pierced(contour: Contour, frame: Frame, inwards: float, left: list[Entry]) -> TopoDS_Face:
    """The flat face inside a contour of the frame's x-y with the mouths of its entries cut out.

    inwards : 1 or -1, the way along the frame's z that an entry runs. Entries on the face are taken off the list.
    """
    area = Polygon(polyline(contour))
    here = [entry for entry in left if _lies_on(entry, frame, inwards) and _within(area, frame, entry)]
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


def _lies_on(entry: Entry, frame: Frame, inwards: float) -> bool:
    off = frame.to_local(entry.frame.origin_mm)[2]
    return abs(off) < 1e-6 and inwards * float(np.dot(frame.z, entry.frame.z)) > 1.0 - 1e-9


def _within(area: Polygon, frame: Frame, entry: Entry) -> bool:
    x, y, _ = frame.to_local(entry.frame.origin_mm)
    return bool(area.contains(Point(x, y).buffer(entry.mouth_radius_mm + 0.01)))


def _entry_faces(entry: Entry) -> list[TopoDS_Face]:
    """The rounded mouth and the bore."""
    radius, half_plane = entry.bore_mm / 2.0, _half_plane(entry.frame)
    deep = entry.lip_deep_mm if entry.lip_across_mm > 0.0 else 0.0
    edges = [_line(half_plane, (radius, deep), (radius, entry.length_mm))]
    if deep > 0.0:
        edges.append(ellipse_quarter_edge(half_plane, (radius + entry.lip_across_mm, deep), entry.lip_across_mm, deep))
    return _revolved(edges, entry.frame)


def _half_plane(frame: Frame) -> Frame:
    """Radius and height about the frame's z as x and y."""
    return Frame(origin_mm=frame.origin_mm, x=frame.x, y=frame.z, z=vec3([-c for c in frame.y]))


def _line(half_plane: Frame, start: tuple[float, float], end: tuple[float, float]) -> TopoDS_Edge:
    return BRepBuilderAPI_MakeEdge(point(half_plane, *start), point(half_plane, *end)).Edge()


def _revolved(edges: Sequence[TopoDS_Edge], frame: Frame) -> list[TopoDS_Face]:
    return [face for edge in edges for face in faces_of(BRepPrimAPI_MakeRevol(edge, axis(frame)).Shape())]


def _disc(frame: Frame, radius_mm: float) -> TopoDS_Face:
    rim: TopoDS_Wire = circle_wire(frame, radius_mm)
    return plane_face(frame, rim)
