"""Made-up plenum pieces, covers and necks: nobody's engine."""

from dataclasses import dataclass

import numpy as np
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
    Runner,
    Screw,
    Seal,
    Throttle,
)
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, Vec3, frame_from_normal, vec3
from tractwright.geometry.placing import from_behind

_COVER_MM = 10.0
_NECK_MM = 10.0


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
        """The chamber along the row."""
        return (self.count - 1) * self.pitch_mm + self.bore_mm + 2 * self.lip_mm + 12.0

    @property
    def neck_half_mm(self) -> float:
        """Half a side of the neck's two square flanges."""
        return self.throttle_mm / 2 + 15

    @property
    def neck_on(self) -> str:
        """The piece that the neck is screwed to."""
        return "cover" if self.place == "top" else "plenum"


@dataclass(frozen=True, slots=True, kw_only=True)
class Faces:
    """Where the four joints stand."""

    floor: Frame
    top: Frame
    neck: Frame
    body: Frame


def plenum_pieces(box: Box) -> Design:
    """A plenum piece, its cover and its neck."""
    tilt = np.radians(box.tilt_deg)
    floor = frame_from_normal((10.0, 60.0, 180.0), (0.0, np.sin(tilt), np.cos(tilt)), (1, 0, 0))
    neck, body = neck_frames(box, floor)
    faces = Faces(floor=floor, top=floor.moved((0.0, 0.0, box.floor_mm + box.depth_mm)), neck=neck, body=body)
    return Design(
        name="made up",
        banks=(Bank(name="a", frame=Frame()),),
        ports=(),
        head_holes=(),
        runners=tuple(runner(box, i) for i in range(box.count)),
        plena=(plenum(box, faces),),
        throttles=(throttle(box, faces),),
        pieces=tuple(Piece(name=name, kind=name, material="6061-T651") for name in ("plenum", "cover", "neck")),
        flanges=flanges(box, faces),
        joints=(
            Joint(name="joint.runner", kind="runner", pieces=("head", "plenum"), frame=faces.floor),
            Joint(name="joint.cover", kind="cover", pieces=("plenum", "cover"), frame=faces.top),
            Joint(name="joint.neck", kind="neck", pieces=(box.neck_on, "neck"), frame=faces.neck),
            Joint(name="joint.body", kind="body", pieces=("neck", "throttle_body"), frame=faces.body),
        ),
        screws=(*rim_screws(box, faces.floor), *cover_screws(box, faces.top), *neck_screws(box, faces.neck)),
        dowels=dowels(box, faces),
        seals=seals(box),
    )


def plenum(box: Box, faces: Faces) -> Plenum:
    return Plenum(
        name="plenum", bank="a", frame=faces.floor, centre_mm=(0.0, 0.0), width_mm=box.width_mm, height_mm=box.height_mm,
        corner_radius_mm=box.corner_mm, depth_mm=box.depth_mm, floor_mm=box.floor_mm, wall_mm=box.wall_mm, volume_l=2.0,
    )  # fmt: skip


def throttle(box: Box, faces: Faces) -> Throttle:
    at = box.neck_half_mm - 8
    return Throttle(
        name="throttle", plenum="plenum", place=box.place, bore_mm=box.throttle_mm, frame=faces.body, neck_mm=box.neck_mm,
        holes_mm=tuple((sx * at, sy * at) for sx in (-1, 1) for sy in (-1, 1)), hole_thread="M6x1",
    )  # fmt: skip


def flanges(box: Box, faces: Faces) -> tuple[Flange, ...]:
    """Of the floor with its rim, the cover, the neck and the throttle body."""
    wide, high = box.width_mm + 2 * box.wall_mm, box.height_mm + 2 * box.wall_mm
    rim = rounded_box(wide + 2 * box.rim_mm, high + 2 * box.rim_mm, 16)
    lid = rounded_box(wide + 24, high + 24, 14)
    square = rounded_box(2 * box.neck_half_mm, 2 * box.neck_half_mm, 9)
    rows: tuple[tuple[str, str, str, Frame, Contour, float], ...] = (
        ("floor", "plenum", "runner", faces.floor, rim, box.floor_mm),
        ("cover", "cover", "cover", faces.top, lid, _COVER_MM),
        ("neck", "neck", "neck", faces.neck, square, _NECK_MM),
        ("body", "neck", "body", from_behind(faces.body), square, 14.0),
    )
    return tuple(
        Flange(
            name=f"flange.{name}", piece=piece, joint=f"joint.{joint}", frame=frame, contour=contour, thickness_mm=thick
        )
        for name, piece, joint, frame, contour, thick in rows
    )


def dowels(box: Box, faces: Faces) -> tuple[Dowel, ...]:
    """Two in the rim, at the row's two ends and on either side of it."""
    out = box.width_mm / 2 + box.wall_mm + 12
    return tuple(
        Dowel(
            name=f"runner.d{k}", joint="joint.runner", at_mm=vec3(faces.floor.to_world((side * out, -side * 20, 0))),
            direction=faces.floor.z, diameter_mm=6.0, depth_first_mm=8.0, depth_second_mm=8.0,
        )
        for k, side in ((1, -1), (2, 1))
    )  # fmt: skip


def seals(box: Box) -> tuple[Seal, ...]:
    """A cord of 3 mm round the mouths, cords of 2 mm under the cover and round the neck."""
    ring = box.throttle_mm / 2 + 5
    rows: tuple[tuple[str, str, tuple[float, float, float], Contour], ...] = (
        ("runner", "plenum", (3.0, 4.0, 2.3), rounded_box(box.width_mm + 8, box.height_mm + 8, 18)),
        ("cover", "cover", (2.0, 2.6, 1.5), rounded_box(box.width_mm + 5, box.height_mm + 5, 16)),
        ("neck", "neck", (2.0, 2.6, 1.5), ((ring, 0.0, 1.0), (-ring, 0.0, 1.0))),
    )
    return tuple(
        Seal(
            name=f"seal.{name}", joint=f"joint.{name}", kind="cord", piece=piece, section_mm=section, groove_width_mm=wide,
            groove_depth_mm=deep, path=path, material="nbr",
        )
        for name, piece, (section, wide, deep), path in rows
    )  # fmt: skip


def neck_frames(box: Box, frame: Frame) -> tuple[Frame, Frame]:
    """The neck's joint and the throttle body's face."""
    middle = box.floor_mm + box.depth_mm / 2
    spot, out = {
        "end_2": ((box.width_mm / 2 + box.pad_mm, 0.0, middle), frame.x),
        "side_1": ((20.0, -box.height_mm / 2 - box.pad_mm, middle), vec3(-np.array(frame.y))),
        "top": ((0.0, 0.0, box.floor_mm + box.depth_mm + _COVER_MM + 8.0), frame.z),
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
        screw(f"cover.s{k}", "joint.cover", vec3(top.to_world((x, side * y, _COVER_MM))), down, _COVER_MM, "plenum")
        for k, (x, side) in enumerate((x, side) for x in xs for side in (-1, 1))
    )


def neck_screws(box: Box, neck: Frame) -> tuple[Screw, ...]:
    reach = box.neck_half_mm - 7
    back = vec3(-np.array(neck.z))
    return tuple(
        screw(
            f"neck.s{k}",
            "joint.neck",
            vec3(neck.to_world((sx * reach, sy * reach, _NECK_MM))),
            back,
            _NECK_MM,
            box.neck_on,
        )
        for k, (sx, sy) in enumerate((sx, sy) for sx in (-1, 1) for sy in (-1, 1))
    )
