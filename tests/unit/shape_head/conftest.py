"""Made-up designs for tests: an inline row of ports, a row of mouths, flanges with simple outlines. Nobody's engine."""

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, pi, radians, sin

import numpy as np
import pytest
from rounded_boxes import rounded_box

from tractwright.design.records import (
    Bank,
    Design,
    Dowel,
    Flange,
    Joint,
    Mouth,
    Piece,
    Plenum,
    Port,
    Runner,
    Screw,
)
from tractwright.geometry.curves import course_at
from tractwright.geometry.frames import Frame, Vec3, frame_from_normal, unit, vec3
from tractwright.geometry.outlines import Outline, outline_area

PORT = Outline(kind="rounded_rectangle", width_mm=44.0, height_mm=32.0, corner_radius_mm=10.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """The numbers a made-up block is made from."""

    count: int = 4
    pitch_mm: float = 90.0
    mouth_pitch_mm: float = 72.0
    port: Outline = PORT
    bore_mm: float = 44.0
    wall_mm: float = 4.0
    reach_mm: float = 200.0
    turn_deg: float = 50.0
    rise_deg: float = 0.0
    blend_mm: float = 6.0
    flange_mm: float = 12.0
    floor_mm: float = 12.0
    standoff_mm: float = 0.0


def made_up(made: Made) -> Design:
    """A design with a head piece and a plenum piece, its runners going out and turning up."""
    axis = vec3((0.0, sin(radians(made.rise_deg)), cos(radians(made.rise_deg))))
    turn = radians(made.turn_deg)
    into = np.array([0.0, sin(turn), cos(turn)])
    bend = made.reach_mm / max(turn, 0.3)
    middle = np.array([0.0, bend * (1 - cos(turn)), bend * sin(turn)]) + into * made.flange_mm
    frame = frame_from_normal(middle, into, (1.0, 0.0, 0.0))
    ports = tuple(
        Port(
            name=f"p{i + 1}", bank="a", cylinders=(i + 1,), at_mm=(_place(made.count, i, made.pitch_mm), 0.0),
            outline=made.port, turn_deg=0.0, axis=axis,
        )
        for i in range(made.count)
    )  # fmt: skip
    runners = tuple(_runner(made, i, frame, axis) for i in range(made.count))
    width = (made.count - 1) * made.mouth_pitch_mm + made.bore_mm + 2 * made.wall_mm + 2 * made.blend_mm + 40
    return Design(
        name="made up",
        banks=(Bank(name="a", frame=Frame()),),
        ports=ports,
        head_holes=(),
        runners=runners,
        plena=(_plenum(made, frame, width),),
        throttles=(),
        pieces=tuple(Piece(name=kind, kind=kind, material="6061-T651") for kind in ("head", "plenum")),
        flanges=_flanges(made, frame, width),
        joints=(
            Joint(name="joint.head", kind="head", pieces=("engine", "head"), frame=Frame()),
            Joint(name="joint.runner", kind="runner", pieces=("head", "plenum"), frame=frame),
        ),
        screws=(*_head_screws(made), *_runner_screws(made, frame, width)),
        dowels=_dowels(made, frame, width),
        seals=(),
    )  # fmt: skip


def _flanges(made: Made, plenum: Frame, width: float) -> tuple[Flange, ...]:
    mouth = Frame(origin_mm=plenum.origin_mm, x=plenum.x, y=vec3(-np.array(plenum.y)), z=vec3(-np.array(plenum.z)))
    return (
        Flange(
            name="flange.head", piece="head", joint="joint.head", frame=Frame(), thickness_mm=made.flange_mm,
            contour=rounded_box(_row(made) + made.port.width_mm + 50, made.port.height_mm + 110, 10),
        ),
        Flange(
            name="flange.mouth", piece="head", joint="joint.runner", frame=mouth, thickness_mm=made.flange_mm,
            contour=rounded_box(width, made.bore_mm + 2 * made.wall_mm + 2 * made.blend_mm + 30, 8),
        ),
    )  # fmt: skip


def _row(made: Made) -> float:
    return (made.count - 1) * made.pitch_mm


def _place(count: int, index: int, pitch: float) -> float:
    return (index - (count - 1) / 2) * pitch


def _runner(made: Made, index: int, plenum: Frame, axis: Vec3) -> Runner:
    start = np.array([_place(made.count, index, made.pitch_mm), 0.0, 0.0])
    mouth_lead = made.flange_mm + made.floor_mm
    joint = np.array(plenum.to_world((_place(made.count, index, made.mouth_pitch_mm), 0.0, 0.0)))
    into = np.array(plenum.z)
    lead = 20.0
    first, last = start + np.array(axis) * lead, joint - into * made.flange_mm
    span = float(np.linalg.norm(last - first))
    steps = span / 7.0
    poles = [first + np.array(axis) * steps * k for k in range(2)] + [last - into * steps * k for k in (1, 0)]
    inner = [_hermite(first, np.array(axis) * span, last, into * span, t) for t in np.linspace(0.24, 0.76, 4)]
    course = (*poles[:2], *inner, *poles[2:])
    rough = float(np.sum(np.linalg.norm(np.diff(np.array(course), axis=0), axis=1)))
    length = _length(course, lead, mouth_lead) if rough else rough
    return Runner(
        name=f"r{index + 1}", bank="a", ports=(f"p{index + 1}",),
        mouth=Mouth(
            plenum="plenum", at_mm=(_place(made.count, index, made.mouth_pitch_mm), 0.0), bore_mm=made.bore_mm,
            lip_radius_mm=8.0,
        ),
        poles_mm=tuple(vec3(pole) for pole in course), port_lead_mm=lead, mouth_lead_mm=mouth_lead,
        length_mm=length, length_wanted_mm=length,
        area_mm2=((0.0, outline_area(made.port) * axis[2]), (1.0, pi / 4 * made.bore_mm**2)),
        wall_mm=((0.0, made.wall_mm), (1.0, made.wall_mm)),
        port_blend_mm=made.blend_mm, mouth_blend_mm=made.blend_mm,
    )  # fmt: skip


def _hermite(a: np.ndarray, da: np.ndarray, b: np.ndarray, db: np.ndarray, t: float) -> np.ndarray:
    return (2 * t**3 - 3 * t**2 + 1) * a + (t**3 - 2 * t**2 + t) * da + (3 * t**2 - 2 * t**3) * b + (t**3 - t**2) * db


def _length(course: tuple[np.ndarray, ...], lead: float, mouth_lead: float) -> float:
    points, _, _ = course_at(np.array(course), np.linspace(0, 1, 801))
    return lead + mouth_lead + float(np.sum(np.linalg.norm(np.diff(points, axis=0), axis=1)))


def _plenum(made: Made, frame: Frame, width: float) -> Plenum:
    return Plenum(
        name="plenum", bank="a", frame=frame, centre_mm=(0.0, 0.0), width_mm=width - 30, height_mm=80.0,
        corner_radius_mm=12.0, depth_mm=70.0, floor_mm=made.floor_mm, wall_mm=5.0, volume_l=2.0,
    )  # fmt: skip


def _screw(name: str, joint: str, seat: Vec3, direction: Vec3, standoff: float, thickness: float) -> Screw:
    own = joint == "joint.runner"
    return Screw(
        name=name, joint=joint, seat_mm=seat, direction=direction, thread="M8x1.25", property_class="8.8", head="cap",
        washer="", length_mm=35.0, grip_mm=thickness + standoff, engagement_mm=16.0, tapped_in="head" if own else "engine",
        tapped_depth_mm=9.0, drill_depth_mm=10.5, standoff_mm=standoff, post_mm=15.0, counterbore_mm=0.0,
        clearance_mm=9.0, torque_nm=24.0, torque_from="computed",
    )  # fmt: skip


def _head_screws(made: Made) -> tuple[Screw, ...]:
    y = made.port.height_mm / 2 + made.wall_mm + made.blend_mm + 12.0
    xs = [_place(made.count, i, made.pitch_mm) for i in range(made.count)]
    spots = [(x, side * y) for x in xs for side in (-1, 1)]
    return tuple(
        _screw(
            f"head.s{k + 1}",
            "joint.head",
            (x, py, made.flange_mm + made.standoff_mm),
            (0.0, 0.0, -1.0),
            made.standoff_mm,
            made.flange_mm,
        )
        for k, (x, py) in enumerate(spots)
    )


def _runner_screws(made: Made, frame: Frame, width: float) -> tuple[Screw, ...]:
    half = made.bore_mm / 2 + made.wall_mm + made.blend_mm + 7.0
    xs = [_place(made.count + 1, i, made.mouth_pitch_mm) for i in range(made.count + 1)]
    xs = [min(max(x, -width / 2 + 10), width / 2 - 10) for x in xs]
    spots = [(x, side * half) for x in xs for side in (-1, 1)]
    return tuple(
        _screw(
            f"runner.s{k + 1}",
            "joint.runner",
            vec3(frame.to_world((x, y, made.floor_mm))),
            vec3(-np.array(frame.z)),
            0.0,
            made.floor_mm,
        )
        for k, (x, y) in enumerate(spots)
    )


def _dowels(made: Made, frame: Frame, width: float) -> tuple[Dowel, ...]:
    return tuple(
        Dowel(
            name=f"runner.d{k + 1}", joint="joint.runner", at_mm=vec3(frame.to_world((side * (width / 2 - 12), 0.0))),
            direction=vec3(unit(np.array(frame.z))), diameter_mm=6.0, depth_first_mm=8.0, depth_second_mm=8.0,
        )
        for k, side in enumerate((-1, 1))
    )  # fmt: skip


@pytest.fixture(scope="session")
def block() -> Callable[..., Design]:
    """Makes a design up from the numbers of `Made` that are given."""
    return lambda **numbers: made_up(Made(**numbers))
