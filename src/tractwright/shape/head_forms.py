"""What a head piece or a middle piece is made of: its plates, the runners between them, the posts on its flanges."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
import shapely

from tractwright.design.passing import part_between
from tractwright.design.records import Design, Flange, Piece, Runner
from tractwright.design.tube import Centreline, centreline
from tractwright.errors import KernelError
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, Frame
from tractwright.kernel.tubular import Plate
from tractwright.shape.parts.finishes import BREAK_MM
from tractwright.shape.roots import (
    BEYOND_ENDS_MM,
    End,
    Foot,
    Sampling,
    Sheet,
    Span,
    base_outline,
    passage_rows,
    rows_of,
    sheet_of,
    whole_span,
)
from tractwright.shape.seats import FOOT_MM, Seat, apart, foot_room, seat_of, seat_of_channel
from tractwright.shape.webs import WEB_BELOW_MM, gap_field, webbed

_LEAST_AWAY = 0.35
"""Cosine to the face's normal at which a runner no longer goes away from the face."""
_ROUGH_ANGLES = 64
_GROOVE_RADII = 1.4
"""The grooves beside a web are so much rounder than the roots that the roots' ball rolls round them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """A runner with the places in the list of plates where it starts and ends, its root radii there [mm], and the part of
    it between them.

    merges : the runners, by place, that stand so near that no cutter goes between: metal joins them.
    """

    runner: Runner
    ends: tuple[int, int]
    radii_mm: tuple[float, float]
    span: Span
    merges: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A seat on one plate; where it is a post, the foot radius it has room for and the one wanted [mm]."""

    plate: int
    seat: Seat
    foot_mm: float = 0.0
    foot_wanted_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadForms:
    """A head piece in parts. flanges and plates run in the same order; design is kept for the runners' skins."""

    design: Design
    flanges: tuple[Flange, ...]
    courses: tuple[Course, ...]
    seats: tuple[Placed, ...] = ()

    @property
    def plates(self) -> tuple[Plate, ...]:
        """The flanges as plates, their outer edges broken where the outline can carry it."""
        return tuple(_plate(item) for item in self.flanges)

    @property
    def posts(self) -> tuple[Placed, ...]:
        """The seats that stand on posts."""
        return tuple(item for item in self.seats if item.seat.raised)

    def face(self, plate: int) -> Frame:
        """The frame on a plate's outer face, z into the air."""
        flange = self.flanges[plate]
        return flange.frame.moved((0.0, 0.0, flange.thickness_mm))

    def ground(self, plate: int) -> shapely.Polygon:
        """The outline of a plate's outer face as a polygon."""
        return shapely.Polygon(polyline(_plate(self.flanges[plate]).rim))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Rows:
    """A runner's skins as rows of points (rows, angles, 3): outer with its blends, inner from joint to joint."""

    outer_mm: Array
    inner_mm: Array


def head_forms(piece: Piece, design: Design) -> HeadForms:
    """The parts of a head piece or a middle piece. Raises KernelError where no runner goes through its flanges."""
    kinds = {joint.name: joint.kind for joint in design.joints}
    flanges = tuple(item for item in design.flanges if item.piece == piece.name and item.joint in kinds)
    courses = tuple(found for runner in design.runners if (found := _course(runner, design, flanges)) is not None)
    if not courses:
        raise KernelError(f"parts of {piece.name}", "no runner goes from one flange of it to another")
    forms = _with_merges(HeadForms(design=design, flanges=flanges, courses=courses))
    return replace(forms, seats=_seats(forms))


def _plate(flange: Flange) -> Plate:
    plate = Plate(frame=flange.frame, contour=flange.contour, thickness_mm=flange.thickness_mm, break_mm=BREAK_MM)
    try:
        return plate if len(plate.rim) else replace(plate, break_mm=0.0)
    except KernelError:
        return replace(plate, break_mm=0.0)


def rows(forms: HeadForms, sampling: Sampling, beyond_mm: float = 0.0) -> tuple[Rows, ...]:
    """The skins of every runner. beyond_mm : how far a passage runs out past the joint faces, for cutting it."""
    outer = _outer_sheets(forms, sampling.angles)
    inner = [sheet_of(item.runner, forms.design, sampling.angles, "inner", item.span) for item in forms.courses]
    bases = base_outlines(forms, outer)
    found: list[Rows] = []
    for i, course in enumerate(forms.courses):
        feet = (_foot(forms, bases, i, 0), _foot(forms, bases, i, 1))
        planes = _joint(forms, course.ends[0], beyond_mm), _joint(forms, course.ends[1], beyond_mm)
        found.append(
            Rows(outer_mm=rows_of(outer[i], feet, sampling), inner_mm=passage_rows(inner[i], planes, sampling))
        )
    return tuple(found)


def base_outlines(forms: HeadForms, outer: Sequence[Sheet]) -> list[tuple[shapely.Polygon, shapely.Polygon]]:
    """Where each runner's skin without blends goes through the outer faces of its two plates."""
    return [
        (base_outline(sheet, forms.face(course.ends[0]), 0), base_outline(sheet, forms.face(course.ends[1]), 1))
        for course, sheet in zip(forms.courses, outer, strict=True)
    ]


def root_outlines(forms: HeadForms) -> list[tuple[shapely.Polygon, shapely.Polygon]]:
    """The base outlines, webs included."""
    return base_outlines(forms, _outer_sheets(forms, _ROUGH_ANGLES))


def _outer_sheets(forms: HeadForms, angles: int) -> list[Sheet]:
    """The outer skins, thickened where a web joins two of them."""
    plain = [sheet_of(item.runner, forms.design, angles, span=item.span) for item in forms.courses]
    return [
        webbed(plain[i], [plain[k] for k in course.merges], _GROOVE_RADII * max(course.radii_mm))
        if course.merges
        else plain[i]
        for i, course in enumerate(forms.courses)
    ]


def _with_merges(forms: HeadForms) -> HeadForms:
    sheets = [sheet_of(item.runner, forms.design, _ROUGH_ANGLES, span=item.span) for item in forms.courses]
    merges: list[set[int]] = [set() for _ in sheets]
    for i, k in combinations(range(len(sheets)), 2):
        if float(gap_field(sheets[i], sheets[k]).min()) < WEB_BELOW_MM:
            merges[i].add(k)
            merges[k].add(i)
    courses = [replace(item, merges=tuple(sorted(found))) for item, found in zip(forms.courses, merges, strict=True)]
    return replace(forms, courses=tuple(courses))


def _joint(forms: HeadForms, plate: int, beyond_mm: float) -> Frame:
    return forms.flanges[plate].frame.moved((0.0, 0.0, -beyond_mm))


def _course(runner: Runner, design: Design, flanges: tuple[Flange, ...]) -> Course | None:
    """A runner from the flange it leaves into the piece to the one it leaves the piece by; None where it has not both."""
    line = centreline(runner, design)
    part = part_between(line, flanges)
    if part is None:
        return None
    kinds = {joint.name: joint.kind for joint in design.joints}
    radii = {"head": runner.port_blend_mm, "split": runner.split_blend_mm}
    root, tip = (radii.get(kinds[flanges[end].joint], runner.mouth_blend_mm) for end in part.flanges)
    return Course(
        runner=runner,
        ends=part.flanges,
        radii_mm=(root, tip),
        span=_span(
            line, (part.first.station_mm, part.last.station_mm), tuple(flanges[end].frame for end in part.flanges)
        ),
    )


def _span(line: Centreline, stations: tuple[float, float], faces: tuple[Frame, ...]) -> Span:
    """From face to face, and past each as far as the runner still goes away from it."""
    (first, last), whole = stations, whole_span(line.length_mm)
    leaves, arrives = (line.tangents @ np.array(face.z) for face in faces)
    before = (line.s_mm < first) & (leaves < _LEAST_AWAY)
    after = (line.s_mm > last) & (arrives > -_LEAST_AWAY)
    start = max(first - BEYOND_ENDS_MM, line.s_mm[before].max(initial=whole.from_mm))
    end = min(last + BEYOND_ENDS_MM, line.s_mm[after].min(initial=whole.to_mm))
    return Span(first_mm=first, last_mm=last, from_mm=float(start), to_mm=float(end))


def _foot(forms: HeadForms, bases: list[tuple[shapely.Polygon, shapely.Polygon]], index: int, end: End) -> Foot:
    course = forms.courses[index]
    plate = course.ends[end]
    here = [item for item in forms.seats if item.plate == plate]
    neighbours = [
        outline
        for other, its_course in enumerate(forms.courses)
        for outline, its_plate in zip(bases[other], its_course.ends, strict=True)
        if its_plate == plate and other != index and other not in course.merges
    ]
    return Foot(
        end=end,
        face=forms.face(plate),
        radius_mm=course.radii_mm[end],
        limits=tuple(neighbours),
        edge=forms.ground(plate).difference(shapely.union_all([_disc(item) for item in here])),
    )


def _disc(item: Placed) -> shapely.Polygon:
    return shapely.Point(item.seat.at_mm).buffer(item.seat.radius_mm + item.foot_mm, quad_segs=32)


def _seats(forms: HeadForms) -> tuple[Placed, ...]:
    bases = root_outlines(forms)
    found: list[Placed] = []
    for plate, flange in enumerate(forms.flanges):
        own = [screw for screw in forms.design.screws if screw.joint == flange.joint]
        seats = [seat for screw in own if (seat := seat_of(screw, flange)) is not None]
        on_it = [item for item in forms.design.channels if item.joint == flange.joint]
        seats += [seat for item in on_it if (seat := seat_of_channel(item, flange)) is not None]
        ends = [
            outline
            for pair, course in zip(bases, forms.courses, strict=True)
            for outline, its_plate in zip(pair, course.ends, strict=True)
            if its_plate == plate
        ]
        ground = forms.ground(plate)
        for seat in seats:
            to_edge = ground.exterior.distance(shapely.Point(seat.at_mm)) - seat.radius_mm
            wanted = foot_room(seat, np.array([to_edge]), FOOT_MM)
            room = _room_round(seat, seats, ends)
            foot = Placed(plate=plate, seat=seat, foot_mm=foot_room(seat, room, wanted), foot_wanted_mm=wanted)
            found.append(foot if seat.raised else Placed(plate=plate, seat=seat))
    return tuple(found)


def _room_round(seat: Seat, seats: list[Seat], outlines: list[shapely.Polygon]) -> Array:
    """Ground round a post: half the way to skins and other posts, all the way to other seats."""
    centre = shapely.Point(seat.at_mm)
    room = [(centre.distance(outline) - seat.radius_mm) / 2.0 for outline in outlines]
    for other in seats:
        if other is not seat:
            gap = apart(seat, other) - seat.radius_mm - other.radius_mm
            room.append(gap / 2.0 if other.raised else gap)
    return np.array(room)
