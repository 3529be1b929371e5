"""What a head piece is made of: its plates, the runners between them, and the posts and holes of its joints."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from tractwright.design.records import Design, Flange, Piece, Runner
from tractwright.design.tube import centreline
from tractwright.errors import KernelError
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, Frame
from tractwright.kernel.tubular import Plate
from tractwright.shape.roots import Foot, Sampling, Sheet, base_outline, passage_rows, rows_of, sheet_of
from tractwright.shape.turned import Hole, apart, dowel_hole, foot_room, screw_hole

_NEAR_MM = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """A runner with the places in the list of plates where it starts and ends, and its root radii there [mm]."""

    runner: Runner
    ends: tuple[int, int]
    radii_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A post or hole of one plate, with the radius its post's foot has room for [mm] and the one wanted."""

    plate: int
    hole: Hole
    foot_mm: float
    foot_wanted_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadForms:
    """A head piece in parts. flanges and plates run in the same order; design is kept for the runners' skins."""

    design: Design
    flanges: tuple[Flange, ...]
    courses: tuple[Course, ...]
    placed: tuple[Placed, ...]

    @property
    def plates(self) -> tuple[Plate, ...]:
        """The flanges as plates."""
        return tuple(
            Plate(frame=item.frame, contour=item.contour, thickness_mm=item.thickness_mm) for item in self.flanges
        )

    def face(self, plate: int) -> Frame:
        """The frame on a plate's outer face, z into the air."""
        flange = self.flanges[plate]
        return flange.frame.moved((0.0, 0.0, flange.thickness_mm))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Rows:
    """A runner's skins as rows of points (rows, angles, 3): outer with its blends, inner from joint to joint."""

    outer_mm: Array
    inner_mm: Array


def head_forms(piece: Piece, design: Design) -> HeadForms:
    """The parts of a head piece. Raises KernelError where a runner of its bank does not meet its flanges."""
    kinds = {joint.name: joint.kind for joint in design.joints}
    flanges = tuple(item for item in design.flanges if item.piece == piece.name and item.joint in kinds)
    heads = [i for i, item in enumerate(flanges) if kinds[item.joint] == "head"]
    others = [i for i, item in enumerate(flanges) if kinds[item.joint] != "head"]
    courses = tuple(
        Course(runner=runner, ends=(first, last), radii_mm=(runner.port_blend_mm, runner.mouth_blend_mm))
        for runner in design.runners
        if (first := _meets(runner, design, flanges, heads)) is not None
        and (last := _meets(runner, design, flanges, others)) is not None
    )
    if not courses:
        raise KernelError(f"parts of {piece.name}", "no runner goes from its head flange to another flange of it")
    forms = HeadForms(design=design, flanges=flanges, courses=courses, placed=())
    return HeadForms(design=design, flanges=flanges, courses=courses, placed=_placed(forms))


def rows(forms: HeadForms, sampling: Sampling, beyond_mm: float = 0.0) -> tuple[Rows, ...]:
    """The skins of every runner. beyond_mm : how far a passage runs out past the joint faces, for cutting it."""
    design = forms.design
    outer = [sheet_of(item.runner, design, sampling.angles) for item in forms.courses]
    inner = [sheet_of(item.runner, design, sampling.angles, "inner") for item in forms.courses]
    feet = _feet(forms, outer)
    planes = [
        (_joint(forms, item.ends[0], beyond_mm), _joint(forms, item.ends[1], beyond_mm)) for item in forms.courses
    ]
    return tuple(
        Rows(outer_mm=rows_of(outer[i], feet[i], sampling), inner_mm=passage_rows(inner[i], planes[i], sampling))
        for i in range(len(forms.courses))
    )


def base_outlines(forms: HeadForms, outer: Sequence[Sheet]) -> list[tuple[shapely.Polygon, shapely.Polygon]]:
    """Where each runner's plain skin goes through the outer faces of its two plates."""
    return [
        (base_outline(sheet, forms.face(course.ends[0])), base_outline(sheet, forms.face(course.ends[1])))
        for course, sheet in zip(forms.courses, outer, strict=True)
    ]


def _joint(forms: HeadForms, plate: int, beyond_mm: float) -> Frame:
    return forms.flanges[plate].frame.moved((0.0, 0.0, -beyond_mm))


def _meets(runner: Runner, design: Design, flanges: tuple[Flange, ...], among: list[int]) -> int | None:
    """The flange whose joint face the runner's centreline goes through, inside its contour."""
    line = centreline(runner, design)
    for index in among:
        local = flanges[index].frame.to_local(line.points_mm)
        nearest = int(np.argmin(np.abs(local[:, 2])))
        inside = shapely.Polygon(polyline(flanges[index].contour)).contains(shapely.Point(local[nearest, :2]))
        if abs(local[nearest, 2]) < _NEAR_MM and inside:
            return index
    return None


def _feet(forms: HeadForms, outer: Sequence[Sheet]) -> list[tuple[Foot, Foot]]:
    bases = base_outlines(forms, outer)
    return [(_foot(forms, bases, i, 0), _foot(forms, bases, i, 1)) for i in range(len(forms.courses))]


def _foot(forms: HeadForms, bases: list[tuple[shapely.Polygon, shapely.Polygon]], index: int, end: int) -> Foot:
    plate = forms.courses[index].ends[end]
    ground = shapely.Polygon(polyline(forms.flanges[plate].contour))
    here = [item.hole for item in forms.placed if item.plate == plate and item.hole.bottom_mm is None]
    taken = [_disc(hole) for hole in here if hole.post_mm == 0.0]
    posts = [_disc(hole) for hole in here if hole.post_mm > 0.0]
    neighbours = [
        outline
        for other, course in enumerate(forms.courses)
        for outline, its_plate in zip(bases[other], course.ends, strict=True)
        if its_plate == plate and other != index
    ]
    return Foot(
        face=forms.face(plate),
        radius_mm=forms.courses[index].radii_mm[end],
        limits=(*neighbours, *posts),
        edge=ground.difference(shapely.union_all(taken)),
    )


def _disc(hole: Hole) -> shapely.Polygon:
    return shapely.Point(hole.at_mm).buffer(max(hole.ground_mm, hole.bore_mm / 2.0), quad_segs=32)


def _placed(forms: HeadForms) -> tuple[Placed, ...]:
    design = forms.design
    outer = [sheet_of(item.runner, design, 48) for item in forms.courses]
    bases = base_outlines(forms, outer)
    found: list[Placed] = []
    for plate, flange in enumerate(forms.flanges):
        holes = [screw_hole(screw, flange) for screw in design.screws if screw.joint == flange.joint]
        holes += [dowel_hole(dowel, flange) for dowel in design.dowels if dowel.joint == flange.joint]
        outlines = [
            outline
            for pair, course in zip(bases, forms.courses, strict=True)
            for outline, its_plate in zip(pair, course.ends, strict=True)
            if its_plate == plate
        ]
        wanted = min(
            (
                radius
                for item in forms.courses
                for radius, end in zip(item.radii_mm, item.ends, strict=True)
                if end == plate
            ),
            default=0.0,
        )
        for hole in holes:
            room = _room_round(hole, holes, outlines, flange)
            foot = foot_room(hole, room, wanted)
            found.append(Placed(plate=plate, hole=hole, foot_mm=foot, foot_wanted_mm=wanted if hole.post_mm else 0.0))
    return tuple(found)


def _room_round(hole: Hole, holes: list[Hole], outlines: list[shapely.Polygon], flange: Flange) -> Array:
    """Ground round a post: half the way to skins and other posts, all the way to seats, holes and the flange's edge."""
    centre = shapely.Point(hole.at_mm)
    edge = shapely.Polygon(polyline(flange.contour)).exterior
    room = [centre.distance(edge) - hole.post_mm]
    room += [(centre.distance(outline) - hole.post_mm) / 2.0 for outline in outlines]
    for other in holes:
        if other is hole or other.bottom_mm is not None:
            continue
        gap = apart(hole, other) - hole.post_mm - max(other.ground_mm, other.bore_mm / 2.0)
        room.append(gap / 2.0 if other.post_mm > 0.0 else gap)
    return np.array(room)
