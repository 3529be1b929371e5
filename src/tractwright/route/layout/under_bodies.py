"""Runners that end in throttle bodies of their own: one flange carries all of them, so that their spindles stay in line."""

from dataclasses import dataclass, replace
from math import dist, inf

import numpy as np

from tractwright.air.records import Wanted
from tractwright.design.body_row import BodyRow
from tractwright.design.file import Held
from tractwright.design.pattern import Pattern
from tractwright.design.records import Flange, Joint, Screw, Seal, Throttle
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Frame
from tractwright.geometry.placing import carried, from_behind
from tractwright.job.sheet import JobSheet
from tractwright.route.course.records import CourseFace
from tractwright.route.layout.chamber import LAND_MM, MOUTH_FLANGE_MM, groove_width
from tractwright.route.layout.ending import Ending
from tractwright.route.layout.outlines import Point, arm, bar, disc, joined
from tractwright.route.layout.plenum_joints import cord_seal
from tractwright.route.layout.screws import head_radius, joint_screws, lug_radius, plate_for_stock_mm, tapped
from tractwright.route.layout.throttle import square_holes
from tractwright.standards.classes import class_in_system

BODIES = "bodies"
"""Name of the one row of throttle bodies."""
BODY_WALL_MM = 4.0
"""Metal round a throttle body's bore where nothing more is known of it. Source: common_practice."""
_APART_MM = 1.0
"""Between two bodies bought singly. Source: common_practice."""
_ROOT_ROOM_MM = 1.0
_FOOT_SHARE = 0.8
"""Width of an arm at the mouth over the land's there: round screws far out the flange narrows towards them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bodies:
    """A row of like throttle bodies before it is placed [mm]. holes_mm : of each body's screws, about its bore; pitch_mm :
    from one to the next, `of_bank` where it is the bank's own.
    """

    mouths: int
    pitch_mm: float
    bore_mm: float
    mouth_flange_mm: float
    holes_mm: tuple[Point, ...]
    hole_thread: str
    of_bank: bool
    row: BodyRow
    name: str = BODIES
    floor_mm: float = 0.0

    @property
    def nearest_mm(self) -> float:
        """From a body's middle to the next one's [mm]."""
        return inf if self.mouths == 1 else self.pitch_mm


def first_bodies(mouths: int, sheet: JobSheet, wanted: Wanted, held: Held) -> Bodies:
    """The row as the sheet has it; bodies bought singly stand as near to each other as they may. Raises TableError."""
    facts = sheet.throttle
    ways = [f"runner.r{number}.mouth.bore_mm" for number in range(1, mouths + 1)]
    bore = max(held.number(way, wanted.bore_mm) for way in ways)
    holes = square_holes(sheet, wanted.throttle_bore_mm)
    skins = bore + 2 * sheet.runner.wall_mm + sheet.runner.neighbour_gap_mm
    beside = 2 * body_half_mm(holes, facts.hole_thread, wanted.throttle_bore_mm)[0] + _APART_MM
    row = BodyRow(
        name=BODIES,
        bank="",
        frame=Frame(),
        body_mm=facts.body_long_mm(wanted.throttle_bore_mm),
        flange_mm=facts.body_flange_mm,
        trumpet_mm=facts.trumpet_mm,
        bell_mm=facts.bell_mm,
    )
    grade = class_in_system(facts.hole_thread, sheet.joint.property_class)
    plate = plate_for_stock_mm(facts.hole_thread, grade, sheet.shop.material, facts.body_flange_mm, MOUTH_FLANGE_MM)
    return Bodies(
        mouths=mouths,
        pitch_mm=facts.pitch_mm or max(skins, beside),
        bore_mm=bore,
        mouth_flange_mm=held.number("flange.mouth.thickness_mm", plate),
        holes_mm=holes,
        hole_thread=facts.hole_thread,
        of_bank=facts.pitch_mm is not None,
        row=row,
    )


def body_half_mm(holes_mm: tuple[Point, ...], hole_thread: str, bore_mm: float) -> Point:
    """Half of a body's size along the row and across it [mm]: round its screws and its bore."""
    lug, barrel = lug_radius(hole_thread), bore_mm / 2 + BODY_WALL_MM
    x, y = (max((abs(hole[axis]) for hole in holes_mm), default=0.0) + lug for axis in (0, 1))
    return max(x, barrel), max(y, barrel)


def bodies_face(bodies: Bodies, runners: tuple[str, ...], sheet: JobSheet, held: Held) -> CourseFace:
    """The flange with the bodies and trumpets before it, as the search for courses sees them."""
    facts, row = sheet.throttle, bodies.row
    flange = polyline(_mouth_flange(bodies, _joint(Frame()), sheet, held).contour)
    bell = bodies.bore_mm / 2 + BODY_WALL_MM + row.bell_mm
    along, across = body_half_mm(bodies.holes_mm, bodies.hole_thread, bodies.bore_mm)
    half_row = (bodies.mouths - 1) * bodies.pitch_mm / 2
    return CourseFace(
        name=bodies.name,
        rows=(runners,),
        mouth_bore_mm=bodies.bore_mm,
        lip_radius_mm=0.0,
        least_pitch_mm=bodies.pitch_mm,
        body_depth_mm=row.reach_mm,
        body_half_height_mm=max(float(np.abs(flange[:, 1]).max()), across, bell),
        body_overhang_mm=max(float(np.abs(flange[:, 0]).max()) - half_row, along, bell),
        behind_mm=0.0,
        held_at_mm=facts.at_mm,
        held_direction=facts.direction,
        pitch_mm=bodies.pitch_mm if bodies.of_bank else None,
        ours_to_mm=0.0,
    )


def bodies_ending(
    bodies: Bodies, frame: Frame, runners: tuple[str, ...], pattern: Pattern, sheet: JobSheet, held: Held
) -> Ending:
    """The flange; a throttle, a cord and screws on each mouth. runners : in the order of the mouths. Raises TableError."""
    joint = _joint(frame)
    bank = pattern.banks[0].name if len(pattern.banks) == 1 else ""
    return Ending(
        body_rows=(replace(bodies.row, frame=frame, bank=bank),),
        throttles=tuple(_throttle(name, at, bodies, frame) for name, at in zip(runners, _mouths(bodies), strict=True)),
        flanges=(_mouth_flange(bodies, joint, sheet, held),),
        joints=(joint,),
        screws=_screws(bodies, joint, sheet, held),
        seals=tuple(
            _seal(name, at, bodies, joint, sheet, held) for name, at in zip(runners, _mouths(bodies), strict=True)
        ),
    )


def _joint(frame: Frame) -> Joint:
    return Joint(name="runner", kind="runner", pieces=("head", "throttle_body"), frame=frame)


def _mouths(bodies: Bodies) -> tuple[float, ...]:
    """Where the mouths lie along the row [mm]."""
    return tuple((k - (bodies.mouths - 1) / 2) * bodies.pitch_mm for k in range(bodies.mouths))


def _throttle(name: str, at_mm: float, bodies: Bodies, frame: Frame) -> Throttle:
    return Throttle(
        name=name,
        plenum=bodies.name,
        place="mouths",
        bore_mm=bodies.bore_mm,
        frame=frame.moved((at_mm, 0.0, 0.0)),
        neck_mm=0.0,
        holes_mm=bodies.holes_mm,
        hole_thread=bodies.hole_thread,
    )


def _mouth_flange(bodies: Bodies, joint: Joint, sheet: JobSheet, held: Held) -> Flange:
    """One plate: round the mouths with their root blends and cords, and out to each screw."""
    root = sheet.runner.wall_mm + sheet.runner.root_blend_mm + _ROOT_ROOM_MM
    half = bodies.bore_mm / 2 + max(root, groove_width(sheet.joint.cord_mm) + 2 * LAND_MM)
    places, lug = _mouths(bodies), lug_radius(bodies.hole_thread)
    shapes = [bar((places[0], 0.0), (places[-1], 0.0), half) if bodies.mouths > 1 else disc((0.0, 0.0), half)]
    for spot, foot in _spots(bodies):
        inside = dist(spot, foot) + lug < half
        shapes += [] if inside else [arm(spot, lug, foot, max(lug, _FOOT_SHARE * half))]
    below = from_behind(joint.frame)
    return Flange(
        name="mouth",
        piece=joint.pieces[0],
        joint=joint.name,
        frame=below,
        contour=carried(joined(shapes), joint.frame, below),
        thickness_mm=bodies.mouth_flange_mm,
    )


def _spots(bodies: Bodies) -> tuple[tuple[Point, Point], ...]:
    """Every screw of the row with the middle of the mouth that it stands at."""
    return tuple(((at + x, y), (at, 0.0)) for at in _mouths(bodies) for x, y in sorted(bodies.holes_mm))


def _screws(bodies: Bodies, joint: Joint, sheet: JobSheet, held: Held) -> tuple[Screw, ...]:
    """Through the bodies' own flanges into threads that go through ours."""
    fastening = tapped(joint, bodies.hole_thread, sheet, bodies.mouth_flange_mm, through=True)
    sizes = (bodies.row.flange_mm, 2 * (head_radius(bodies.hole_thread) + 0.5))
    return joint_screws(joint, fastening, held, [spot for spot, _ in _spots(bodies)], sizes)


def _seal(name: str, at_mm: float, bodies: Bodies, joint: Joint, sheet: JobSheet, held: Held) -> Seal:
    """A cord round a mouth, cut into our flange: a body's face may be plain."""
    off = bodies.bore_mm / 2 + LAND_MM + groove_width(sheet.joint.cord_mm) / 2
    return cord_seal(joint, joint.pieces[0], disc((at_mm, 0.0), off), sheet, held, f"{joint.name}.{name}")
