"""The throttle: where it stands on the plenum, its neck with two flanges, screws and seal."""

from dataclasses import dataclass
from math import cos, hypot, radians, sin

import numpy as np

from tractwright.design.file import Held
from tractwright.design.pattern import Pattern
from tractwright.design.records import Flange, Joint, Screw, Seal, Throttle
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Frame, frame_from_normal, vec3
from tractwright.geometry.placing import carried, from_behind
from tractwright.job.piece_tables import ThrottlePlace
from tractwright.job.sheet import JobSheet
from tractwright.route.course.records import Stub
from tractwright.route.layout.chamber import (
    BREAK_MM,
    HEAD_ROOM_MM,
    LAND_MM,
    ROOT_MM,
    Chamber,
    drilled_mm,
    groove_width,
    neck_reach,
    pad_thread_mm,
    throttle_height,
)
from tractwright.route.layout.outlines import Point, arm, disc, joined
from tractwright.route.layout.pads import Side, along_and_out, wall_pad
from tractwright.route.layout.places import NeckGround
from tractwright.route.layout.plenum_joints import cord_seal
from tractwright.route.layout.screws import head_radius, joint_screws, lug_radius, tapped
from tractwright.standards.keys import hex_key
from tractwright.standards.screws import screw_head, washer

_WALLS: dict[str, Side] = {"end_1": "end_1", "end_2": "end_2", "side_1": "side_1", "side_2": "side_2"}
"""The walls a neck may stand on; it stands on the cover else."""
_ANGLES_DEG = (20.0, 25.0, 15.0, 30.0, 10.0, 35.0, 0.0, 40.0)
_SKIN_MM = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _On:
    """The wall a neck stands on; suffix : of its names, one of several apart from the others."""

    place: ThrottlePlace
    suffix: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Neck:
    """A throttle with everything of its neck."""

    throttle: Throttle
    joints: tuple[Joint, Joint]
    flanges: tuple[Flange, Flange]
    screws: tuple[Screw, ...]
    seal: Seal

    @property
    def piece(self) -> str:
        """Name of the neck's piece."""
        return self.seal.piece

    def ground(self, chamber: Chamber, frame: Frame) -> NeckGround:
        """What it takes of the plenum with that frame."""
        flange, side = self.flanges[0], _WALLS.get(self.throttle.place)
        if side is None:
            return NeckGround(pad=None, on_cover=carried(flange.contour, flange.frame, frame), screws_mm=())
        seats = frame.to_local(np.array([screw.seat_mm for screw in self.screws]))
        along = [along_and_out(side, (float(x), float(y)))[0] for x, y, _ in seats]
        return NeckGround(
            pad=wall_pad(chamber, side, flange, frame),
            on_cover=None,
            screws_mm=tuple(zip(along, map(float, seats[:, 2]), strict=True)),
        )


def necks(chamber: Chamber, frame: Frame, pattern: Pattern, sheet: JobSheet, held: Held) -> tuple[Neck, ...]:
    """A neck on each wall of the plenum that the sheet says. The second's names end in _2."""
    return tuple(
        _neck(chamber, frame, pattern, sheet, held, _On(place=place, suffix=f"_{number}" if number > 1 else ""))
        for number, place in enumerate(sheet.throttle.walls, start=1)
    )


def _neck(chamber: Chamber, frame: Frame, pattern: Pattern, sheet: JobSheet, held: Held, on: _On) -> Neck:
    name, piece = chamber.name + on.suffix, f"neck{on.suffix}"
    at_wall = _joint_frame(chamber, frame, on.place)
    length = held.number(f"throttle.{name}.neck_mm", max(sheet.throttle.neck_mm, _least_neck(chamber)))
    face = at_wall.moved((0.0, 0.0, length))
    throttle = Throttle(
        name=name,
        plenum=chamber.name,
        place=on.place,
        bore_mm=chamber.throttle_mm,
        frame=face,
        neck_mm=length,
        holes_mm=_body_holes(pattern, sheet, chamber),
        hole_thread=str(held.get(f"throttle.{name}.hole_thread", sheet.throttle.hole_thread)),
    )
    carrier = "cover" if on.place == "top" else "plenum"
    joint = Joint(name=f"neck{on.suffix}", kind="neck", pieces=(carrier, piece), frame=at_wall)
    body = Joint(name=f"body{on.suffix}", kind="body", pieces=(piece, "throttle_body"), frame=face)
    spots = _screw_spots(throttle, chamber)
    return Neck(
        throttle=throttle,
        joints=(joint, body),
        flanges=(_neck_flange(joint, spots, chamber), _body_flange(body, throttle, chamber)),
        screws=_screws(joint, spots, chamber, sheet, held),
        seal=_seal(joint, throttle, sheet, held),
    )


def throttle_stubs(chamber: Chamber, pattern: Pattern, sheet: JobSheet, held: Held) -> tuple[Stub, ...]:
    """What the search for courses sees of the throttles: their necks, and the throttle bodies before them."""
    found = necks(chamber, Frame(), pattern, sheet, held)
    return tuple(stub for item in found for stub in _stubs(item, chamber, sheet))


def _stubs(found: Neck, chamber: Chamber, sheet: JobSheet) -> tuple[Stub, Stub]:
    throttle, floor = found.throttle, np.array([0.0, 0.0, chamber.floor_mm])
    moves = {"end_1": -1.0, "end_2": 1.0}.get(throttle.place, 0.0)
    no_pitch = np.array([moves * chamber.row_mm / 2, 0.0, 0.0])
    face = np.array(throttle.frame.origin_mm) - floor - no_pitch
    reach = [float(np.hypot(*polyline(flange.contour).T).max()) for flange in found.flanges]
    wall = vec3(face - throttle.neck_mm * np.array(throttle.frame.z))
    tube = Stub(start_mm=wall, axis=throttle.frame.z, length_mm=throttle.neck_mm, radius_mm=max(reach), moves=moves)
    length = sheet.throttle.body_long_mm(chamber.throttle_mm)
    body = Stub(
        start_mm=vec3(face), axis=throttle.frame.z, length_mm=length, radius_mm=reach[1], moves=moves, ours=False
    )
    return tube, body


def _joint_frame(chamber: Chamber, frame: Frame, place: ThrottlePlace) -> Frame:
    """On the pad, z out of the plenum, x along the plenum's x or y."""
    height = throttle_height(chamber)
    half_x, half_y = chamber.width_mm / 2 + chamber.pad_mm, chamber.height_mm / 2 + chamber.pad_mm
    top = chamber.top_mm + max(chamber.cover_mm + 1.0, drilled_mm(chamber.screw, pad_thread_mm(chamber)) + _SKIN_MM)
    x, y, z = (np.array(axis) for axis in (frame.x, frame.y, frame.z))
    spot, out, hint = {
        "end_1": ((-half_x, 0.0, height), -x, y),
        "end_2": ((half_x, 0.0, height), x, y),
        "side_1": ((0.0, -half_y, height), -y, x),
        "side_2": ((0.0, half_y, height), y, x),
        "top": ((0.0, 0.0, top), z, x),
    }[place]
    return frame_from_normal(frame.to_world(spot), out, hint)


def _least_neck(chamber: Chamber) -> float:
    """Room between the two flanges for a screw's head on its washer and the root blends [mm]."""
    head = screw_head("cap", chamber.screw).height_mm + washer(chamber.screw).thickness_max_mm
    return chamber.neck_flange_mm + chamber.body_flange_mm + max(head + 2.0, 2 * ROOT_MM + 2.0)


def _body_holes(pattern: Pattern, sheet: JobSheet, chamber: Chamber) -> tuple[Point, ...]:
    """The throttle body's screws: the sheet's, the scan's, or a square just outside the bore."""
    face = pattern.throttle_face
    if sheet.throttle.hole_pitch_mm is None and face is not None and face.holes_mm:
        return face.holes_mm
    return square_holes(sheet, chamber.throttle_mm)


def square_holes(sheet: JobSheet, bore_mm: float) -> tuple[Point, ...]:
    """Four screws on the sheet's rectangle, or on a square just outside the bore."""
    if sheet.throttle.hole_pitch_mm is not None:
        along, across = sheet.throttle.hole_pitch_mm
    else:
        radius = bore_mm / 2 + lug_radius(sheet.throttle.hole_thread) + 2.0
        along = across = radius * 2**0.5
    return tuple((sx * along / 2, sy * across / 2) for sx in (-1.0, 1.0) for sy in (-1.0, 1.0))


def _screw_spots(throttle: Throttle, chamber: Chamber) -> tuple[Point, ...]:
    """Four screws round the neck, turned so that the body's lugs leave their keys free."""
    size, tube = chamber.screw, throttle.bore_mm / 2 + chamber.wall_mm
    radius = tube + ROOT_MM + head_radius(size) + HEAD_ROOM_MM
    key = hex_key(screw_head("cap", size).key_mm).across_corners_mm / 2
    clear = lug_radius(throttle.hole_thread) + key + HEAD_ROOM_MM

    def spots(angle_deg: float) -> tuple[Point, ...]:
        a = radians(angle_deg)
        return tuple((sx * radius * cos(a), sy * radius * sin(a)) for sx in (-1.0, 1.0) for sy in (-1.0, 1.0))

    def gap(angle_deg: float) -> float:
        return min(hypot(x - hx, y - hy) for x, y in spots(angle_deg) for hx, hy in throttle.holes_mm)

    good = [angle for angle in _ANGLES_DEG if gap(angle) >= clear]
    return spots(good[0] if good else max(_ANGLES_DEG, key=gap))


def _neck_flange(joint: Joint, spots: tuple[Point, ...], chamber: Chamber) -> Flange:
    shapes = [
        disc((0.0, 0.0), neck_reach(chamber)),
        *(disc(spot, lug_radius(chamber.screw)) for spot in spots),
    ]
    return Flange(
        name=joint.name,
        piece=joint.pieces[1],
        joint=joint.name,
        frame=joint.frame,
        contour=joined(shapes),
        thickness_mm=chamber.neck_flange_mm,
    )


def _body_flange(body: Joint, throttle: Throttle, chamber: Chamber) -> Flange:
    frame = from_behind(body.frame)
    middle_mm, lug_mm = throttle.bore_mm / 2 + chamber.wall_mm + ROOT_MM + BREAK_MM, lug_radius(throttle.hole_thread)
    lugs = [
        disc((x, -y), lug_mm)
        if hypot(x, y) < middle_mm + lug_mm / 2
        else arm((0.0, 0.0), middle_mm / 2, (x, -y), lug_mm)
        for x, y in throttle.holes_mm
    ]
    return Flange(
        name=body.name,
        piece=body.pieces[0],
        joint=body.name,
        frame=frame,
        contour=joined([disc((0.0, 0.0), middle_mm), *lugs]),
        thickness_mm=chamber.body_flange_mm,
    )


def _screws(joint: Joint, spots: tuple[Point, ...], chamber: Chamber, sheet: JobSheet, held: Held) -> tuple[Screw, ...]:
    fastening = tapped(joint, chamber.screw, sheet, pad_thread_mm(chamber), through=False)
    sizes = (chamber.neck_flange_mm, 2 * (head_radius(chamber.screw) + 0.5))
    return joint_screws(joint, fastening, held, sorted(spots), sizes)


def _seal(joint: Joint, throttle: Throttle, sheet: JobSheet, held: Held) -> Seal:
    middle = disc((0.0, 0.0), throttle.bore_mm / 2 + LAND_MM + groove_width(sheet.joint.cord_mm) / 2)
    return cord_seal(joint, joint.pieces[1], middle, sheet, held)
