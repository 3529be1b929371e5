"""Plain descriptions that several tests measure."""

from collections.abc import Callable
from math import pi

import numpy as np
import pytest

from tractwright.design.records import Bank, Design, Flange, Joint, Mouth, Piece, Plenum, Port, Runner
from tractwright.geometry.curves import course_basis
from tractwright.geometry.frames import Frame, vec3
from tractwright.geometry.outlines import circle
from tractwright.geometry.placing import from_behind


def bend_design(
    radius_mm: float, bore_mm: float, lead_mm: float, turn_deg: float = 90.0, floor_mm: float = 10.0
) -> Design:
    """One round runner: a lead along z, a bend of that radius upwards in the y-z plane, a lead."""
    turn = np.radians(turn_deg)
    angle = np.linspace(0.0, turn, 400)
    arc = np.stack([np.zeros(400), radius_mm * (1 - np.cos(angle)), lead_mm + radius_mm * np.sin(angle)], axis=1)
    _, basis, *_ = course_basis(400)
    poles, *_ = np.linalg.lstsq(basis, arc, rcond=None)
    out = np.array([0.0, np.sin(turn), np.cos(turn)])
    joint = arc[-1] + out * (lead_mm - floor_mm)
    frame = Frame(origin_mm=vec3(joint), x=(1, 0, 0), y=vec3(np.cross(out, [1.0, 0.0, 0.0])), z=vec3(out))
    plenum = Plenum(
        name="plenum", bank="a", frame=frame, centre_mm=(0, 0), width_mm=120, height_mm=90, corner_radius_mm=12,
        depth_mm=70, floor_mm=floor_mm, wall_mm=5, volume_l=0.75,
    )  # fmt: skip
    area = pi / 4 * bore_mm**2
    length = 2 * lead_mm + radius_mm * turn
    runner = Runner(
        name="r1", bank="a", ports=("p1",), poles_mm=tuple(vec3(pole) for pole in poles),
        mouth=Mouth(plenum="plenum", at_mm=(0, 0), bore_mm=bore_mm, lip_radius_mm=8),
        port_lead_mm=lead_mm, mouth_lead_mm=lead_mm, length_mm=length, length_wanted_mm=length,
        area_mm2=((0.0, area), (1.0, area)), wall_mm=((0.0, 4.0), (1.0, 4.0)), port_blend_mm=6, mouth_blend_mm=6,
    )  # fmt: skip
    port = Port(
        name="p1", bank="a", cylinders=(1,), at_mm=(0, 0), outline=circle(bore_mm), turn_deg=0.0, axis=(0, 0, 1)
    )
    return Design(
        name="bend", banks=(Bank(name="a", frame=Frame()),), ports=(port,), head_holes=(), runners=(runner,),
        plena=(plenum,), throttles=(), pieces=(Piece(name="head", kind="head", material="6061-T651"),),
        flanges=(_plate("head", Frame(), bore_mm), _plate("runner", from_behind(frame), bore_mm)),
        joints=(
            Joint(name="head", kind="head", pieces=("engine", "head"), frame=Frame()),
            Joint(name="runner", kind="runner", pieces=("head", "plenum"), frame=frame),
        ),
        screws=(), dowels=(), seals=(),
    )  # fmt: skip


def _plate(joint: str, frame: Frame, bore_mm: float) -> Flange:
    """A round flange."""
    ring = ((bore_mm, 0.0, 1.0), (-bore_mm, 0.0, 1.0))
    return Flange(name=joint, piece="head", joint=joint, frame=frame, contour=ring, thickness_mm=10.0)


@pytest.fixture
def bend() -> Callable[..., Design]:
    """Makes a design with one bent runner."""
    return bend_design
