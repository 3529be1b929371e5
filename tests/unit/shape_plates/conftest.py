"""Made-up plenum pieces, covers and necks for tests: nobody's engine."""

from collections.abc import Callable
from dataclasses import dataclass
from math import pi, tan

import numpy as np
import pytest

from tractwright.design.records import (
    Bank,
    Design,
    Dowel,
    Flange,
    Joint,
    Mouth,
    Piece,
    Plenum,
    Runner,
    Screw,
    Seal,
    Throttle,
)
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, Vec3, frame_from_normal, vec3
from tractwright.geometry.placing import from_behind

QUARTER = tan(pi / 8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """The numbers a made-up plenum is made from."""

    count: int = 4
    pitch_mm: float = 74.0
    bore_mm: float = 42.0
    lip_mm: float = 8.0
    height_mm: float = 84.0
    depth_mm: float = 100.0
    corner_mm: float = 14.0
    floor_mm: float = 12.0
    wall_mm: float = 5.0
    rim_mm: float = 22.0
    pad_mm: float = 14.0
    throttle_mm: float = 56.0
    place: str = "end_2"
    neck_mm: float = 45.0
    columns: int = 5
    tilt_deg: float = 35.0

    @property
    def width_mm(self) -> float:
        return (self.count - 1) * self.pitch_mm + self.bore_mm + 2 * self.lip_mm + 12.0


def rounded_box(width: float, height: float, radius: float) -> Contour:
    w, h = width / 2, height / 2
    return (
        (w, -h + radius, 0.0),
        (w, h - radius, QUARTER),
        (w - radius, h, 0.0),
        (-w + radius, h, QUARTER),
        (-w, h - radius, 0.0),
        (-w, -h + radius, QUARTER),
        (-w + radius, -h, 0.0),
        (w - radius, -h, QUARTER),
    )


def make(box: Box) -> Design:
    """A plenum piece, its cover and its neck."""
    frame = frame_from_normal(
        (10.0, 60.0, 180.0), (0.0, np.sin(np.radians(box.tilt_deg)), np.cos(np.radians(box.tilt_deg))), (1, 0, 0)
    )
    top = frame.moved((0.0, 0.0, box.floor_mm + box.depth_mm))
    neck, body = neck_frames(box, frame)
    rim = rounded_box(
        box.width_mm + 2 * box.wall_mm + 2 * box.rim_mm, box.height_mm + 2 * box.wall_mm + 2 * box.rim_mm, 16
    )
    lid = rounded_box(box.width_mm + 2 * box.wall_mm + 24, box.height_mm + 2 * box.wall_mm + 24, 14)
    half = box.throttle_mm / 2 + 15
    on = "cover" if box.place == "top" else "plenum"
    return Design(
        name="made up",
        banks=(Bank(name="a", frame=Frame()),),
        ports=(),
        head_holes=(),
        runners=tuple(runner(box, i) for i in range(box.count)),
        plena=(
            Plenum(
                name="plenum",
                bank="a",
                frame=frame,
                centre_mm=(0.0, 0.0),
                width_mm=box.width_mm,
                height_mm=box.height_mm,
                corner_radius_mm=box.corner_mm,
                depth_mm=box.depth_mm,
                floor_mm=box.floor_mm,
                wall_mm=box.wall_mm,
                volume_l=2.0,
            ),
        ),
        throttles=(
            Throttle(
                name="throttle",
                plenum="plenum",
                place=box.place,
                bore_mm=box.throttle_mm,
                frame=body,
                neck_mm=box.neck_mm,
                holes_mm=tuple((sx * (half - 8), sy * (half - 8)) for sx in (-1, 1) for sy in (-1, 1)),
                hole_thread="M6x1",
            ),
        ),
        pieces=tuple(Piece(name=name, kind=name, material="6061-T651") for name in ("plenum", "cover", "neck")),
        flanges=(
            Flange(
                name="flange.floor",
                piece="plenum",
                joint="joint.runner",
                frame=frame,
                contour=rim,
                thickness_mm=box.floor_mm,
            ),
            Flange(name="flange.cover", piece="cover", joint="joint.cover", frame=top, contour=lid, thickness_mm=10.0),
            Flange(
                name="flange.neck",
                piece="neck",
                joint="joint.neck",
                frame=neck,
                contour=rounded_box(2 * half, 2 * half, 9),
                thickness_mm=10.0,
            ),
            Flange(
                name="flange.body",
                piece="neck",
                joint="joint.body",
                frame=from_behind(body),
                contour=rounded_box(2 * half, 2 * half, 9),
                thickness_mm=14.0,
            ),
        ),
        joints=(
            Joint(name="joint.runner", kind="runner", pieces=("head", "plenum"), frame=frame),
            Joint(name="joint.cover", kind="cover", pieces=("plenum", "cover"), frame=top),
            Joint(name="joint.neck", kind="neck", pieces=(on, "neck"), frame=neck),
            Joint(name="joint.body", kind="body", pieces=("neck", "throttle_body"), frame=body),
        ),
        screws=(*rim_screws(box, frame), *cover_screws(box, top), *neck_screws(neck, half - 7, on)),
        dowels=tuple(
            Dowel(
                name=f"runner.d{k}",
                joint="joint.runner",
                at_mm=vec3(frame.to_world((x, -x / abs(x) * 20, 0))),
                direction=frame.z,
                diameter_mm=6.0,
                depth_first_mm=8.0,
                depth_second_mm=8.0,
            )
            for k, x in ((1, -box.width_mm / 2 - box.wall_mm - 12), (2, box.width_mm / 2 + box.wall_mm + 12))
        ),
        seals=(
            Seal(
                name="seal.runner",
                joint="joint.runner",
                kind="cord",
                piece="plenum",
                section_mm=3.0,
                groove_width_mm=4.0,
                groove_depth_mm=2.3,
                path=rounded_box(box.width_mm + 8, box.height_mm + 8, 18),
                material="nbr",
            ),
            Seal(
                name="seal.cover",
                joint="joint.cover",
                kind="cord",
                piece="cover",
                section_mm=2.0,
                groove_width_mm=2.6,
                groove_depth_mm=1.5,
                path=rounded_box(box.width_mm + 5, box.height_mm + 5, 16),
                material="nbr",
            ),
            Seal(
                name="seal.neck",
                joint="joint.neck",
                kind="cord",
                piece="neck",
                section_mm=2.0,
                groove_width_mm=2.6,
                groove_depth_mm=1.5,
                path=((box.throttle_mm / 2 + 5, 0.0, 1.0), (-box.throttle_mm / 2 - 5, 0.0, 1.0)),
                material="nbr",
            ),
        ),
    )


def neck_frames(box: Box, frame: Frame) -> tuple[Frame, Frame]:
    """The neck's joint and the throttle body's face."""
    middle = box.floor_mm + box.depth_mm / 2
    spot, out = {
        "end_2": ((box.width_mm / 2 + box.pad_mm, 0.0, middle), frame.x),
        "side_1": ((20.0, -box.height_mm / 2 - box.pad_mm, middle), vec3(-np.array(frame.y))),
        "top": ((0.0, 0.0, box.floor_mm + box.depth_mm + 10.0 + 8.0), frame.z),
    }[box.place]
    hint = frame.x if box.place != "end_2" else frame.y
    neck = frame_from_normal(frame.to_world(spot), out, hint)
    return neck, neck.moved((0.0, 0.0, box.neck_mm))


def runner(box: Box, index: int) -> Runner:
    return Runner(
        name=f"r{index + 1}",
        bank="a",
        ports=(f"p{index + 1}",),
        mouth=Mouth(
            plenum="plenum",
            at_mm=((index - (box.count - 1) / 2) * box.pitch_mm, 0.0),
            bore_mm=box.bore_mm,
            lip_radius_mm=box.lip_mm,
        ),
        poles_mm=((0.0, 0.0, 0.0),) * 8,
        port_lead_mm=20.0,
        mouth_lead_mm=24.0,
        length_mm=300.0,
        length_wanted_mm=300.0,
        area_mm2=((0.0, 1500.0), (1.0, 1500.0)),
        wall_mm=((0.0, 4.0), (1.0, 4.0)),
        port_blend_mm=6.0,
        mouth_blend_mm=6.0,
    )


def screw(name: str, joint: str, seat: Vec3, direction: Vec3, grip: float, tapped_in: str) -> Screw:
    return Screw(
        name=name,
        joint=joint,
        seat_mm=seat,
        direction=direction,
        thread="M6x1",
        property_class="8.8",
        head="cap",
        washer="",
        length_mm=25.0,
        grip_mm=grip,
        engagement_mm=14.0,
        tapped_in=tapped_in,
        tapped_depth_mm=16.0,
        drill_depth_mm=19.0 if tapped_in == "plenum" and joint == "joint.cover" else 11.0,
        standoff_mm=0.0,
        post_mm=14.0,
        counterbore_mm=0.0,
        clearance_mm=6.6,
        torque_nm=9.0,
        torque_from="computed",
    )


def rim_screws(box: Box, frame: Frame) -> tuple[Screw, ...]:
    y = box.height_mm / 2 + box.wall_mm + box.rim_mm - 7.0
    xs = np.linspace(-box.width_mm / 2, box.width_mm / 2, box.count + 1)
    down = vec3(-np.array(frame.z))
    return tuple(
        screw(
            f"runner.s{k}",
            "joint.runner",
            vec3(frame.to_world((x, side * y, box.floor_mm))),
            down,
            box.floor_mm,
            "head",
        )
        for k, (x, side) in enumerate((x, side) for x in xs for side in (-1, 1))
    )


def cover_screws(box: Box, top: Frame) -> tuple[Screw, ...]:
    y = box.height_mm / 2 + box.wall_mm + 4.0
    xs = np.linspace(-box.width_mm / 2 + 10, box.width_mm / 2 - 10, box.columns)
    down = vec3(-np.array(top.z))
    return tuple(
        screw(f"cover.s{k}", "joint.cover", vec3(top.to_world((x, side * y, 10.0))), down, 10.0, "plenum")
        for k, (x, side) in enumerate((x, side) for x in xs for side in (-1, 1))
    )


def neck_screws(neck: Frame, reach: float, on: str) -> tuple[Screw, ...]:
    back = vec3(-np.array(neck.z))
    return tuple(
        screw(f"neck.s{k}", "joint.neck", vec3(neck.to_world((sx * reach, sy * reach, 10.0))), back, 10.0, on)
        for k, (sx, sy) in enumerate((sx, sy) for sx in (-1, 1) for sy in (-1, 1))
    )


@pytest.fixture(scope="session")
def made_up() -> Callable[[Box], Design]:
    return make


@pytest.fixture(scope="session")
def small_box() -> Box:
    """Three mouths, the throttle at an end."""
    return Box(
        count=3, pitch_mm=54.0, bore_mm=40.0, lip_mm=6.0, height_mm=76.0, depth_mm=70.0, throttle_mm=36.0, columns=3
    )
