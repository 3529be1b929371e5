"""The whole description of a small job, courses searched for: what belongs together fits together, what is held stays."""

import numpy as np
import pytest

from tractwright.design.file import Held, unheeded
from tractwright.design.pattern import KeepOutPlane, Pattern, Room
from tractwright.design.records import Bank, HeadHole, Port
from tractwright.design.tube import tube
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import Outline
from tractwright.route.stage import describe
from tractwright.standards.engagement import engagement_needed_mm

ROOM = Room(planes=(KeepOutPlane(name="head face", normal=(0, 0, 1), offset_mm=0.0),))


@pytest.fixture(scope="module")
def three() -> Pattern:
    """Three oval ports 88 mm apart with eight screws."""
    outline = Outline(kind="oval", width_mm=46.0, height_mm=32.0)
    row = (-88.0, 0.0, 88.0)
    places = [(x, side * 36.0) for x in (-132.0, -44.0, 44.0, 132.0) for side in (-1.0, 1.0)]
    return Pattern(
        banks=(Bank(name="a", frame=Frame()),),
        ports=tuple(
            Port(name=f"p{k}", bank="a", cylinders=(k,), at_mm=(x, 0.0), outline=outline, turn_deg=0.0, axis=(0, 0, 1))
            for k, x in enumerate(row, start=1)
        ),
        head_holes=tuple(
            HeadHole(name=f"h{k}", bank="a", at_mm=place, thread="M8", depth_mm=22.0, stud=False)
            for k, place in enumerate(places, start=1)
        ),
    )


def test_runners_end_in_their_mouths_with_the_length_they_say(sheet, wanted, three):
    found = describe(sheet(), three, ROOM, wanted(), Held())
    assert found.feasible
    design, plenum = found.design, found.design.plena[0]
    for runner, port in zip(design.runners, design.ports, strict=True):
        model = tube(runner, design)
        steps = np.linalg.norm(np.diff(model.centre_mm, axis=0), axis=1)
        mouth = plenum.frame.to_world((*runner.mouth.at_mm, plenum.floor_mm))
        assert model.centre_mm[0] == pytest.approx(np.array([*port.at_mm, 0.0]), abs=0.01)
        assert model.centre_mm[-1] == pytest.approx(mouth, abs=0.01)
        assert float(steps.sum()) == pytest.approx(runner.length_mm, rel=1e-3)
        assert runner.length_mm == pytest.approx(runner.length_wanted_mm, rel=3e-3)
        assert model.area_mm2[0] == pytest.approx(runner.area_mm2[0][1], rel=0.01)
        assert model.area_mm2[-1] == pytest.approx(np.pi / 4 * runner.mouth.bore_mm**2, rel=0.01)


def test_every_joint_has_its_two_sides_face_to_face(sheet, wanted, three):
    design = describe(sheet(), three, ROOM, wanted(), Held()).design
    names = {piece.name for piece in design.pieces}
    for joint in design.joints:
        flanges = [flange for flange in design.flanges if flange.joint == joint.name]
        assert {flange.piece for flange in flanges} <= set(joint.pieces)
        for flange in flanges:
            out = 1.0 if flange.piece == joint.pieces[1] else -1.0
            assert np.dot(flange.frame.z, joint.frame.z) == pytest.approx(out)
            assert joint.frame.to_local(flange.frame.origin_mm)[2] == pytest.approx(0.0, abs=1e-9)
    assert {screw.tapped_in for screw in design.screws} <= names | {"engine"}
    assert [joint.kind for joint in design.joints] == ["head", "runner", "cover", "neck", "body"]


def test_what_is_held_is_heeded(sheet, wanted, three):
    values = {
        "plenum.plenum.depth_mm": 101.0,
        "plenum.plenum.wall_mm": 9.0,
        "screw.cover.s2.washer": "",
        "screw.neck.s1.tapped_depth_mm": 15.0,
        "screw.neck.s2.property_class": "10.9",
        "seal.cover.material": "FKM",
        "flange.cover.thickness_mm": 11.0,
        "flange.mouth.thickness_mm": 13.0,
        "flange.head.thickness_mm": 14.0,
        "flange.neck.thickness_mm": 11.0,
        "flange.body.thickness_mm": 13.0,
        "flange.floor.thickness_mm": 15.0,
        "runner.r2.wall_mm": ((0.0, 6.0), (0.5, 4.5), (1.0, 5.0)),
        "runner.r2.mouth.lip_radius_mm": 7.0,
        "runner.r1.mouth.bore_mm": 41.0,
        "runner.r3.port_blend_mm": 5.0,
        "screw.cover.s1.length_mm": 20.0,
        "screw.head.s2.standoff_mm": 4.0,
        "screw.runner.s3.torque_nm": 6.5,
        "seal.runner.groove_width_mm": 3.9,
        "seal.cover.groove_depth_mm": 2.0,
        "throttle.plenum.neck_mm": 55.0,
        "throttle.plenum.bore_mm": 64.0,
        "throttle.plenum.hole_thread": "M8x1.25",
        "piece.cover.material": "7075-T651",
        "dowel.runner.d1.depth_first_mm": 9.0,
        "dowel.runner.d2.diameter_mm": 5.0,
    }
    held = Held(values=values)
    design = describe(sheet(), three, ROOM, wanted(), held).design
    assert unheeded(held, design) == ()
    assert {path for path, standing in design.standing.items() if standing == "held"} == set(values)


def test_whose_word_each_number_is(sheet, wanted, three):
    told = sheet(throttle={"bore": 70.0}, runner={"wall": 4.0}, joint={"seal_material": "FKM"})
    standing = describe(told, three, ROOM, wanted(), Held()).design.standing
    assert standing["runner.r1.wall_mm"] == "fact"
    assert standing["throttle.plenum.bore_mm"] == "fact"
    assert standing["seal.runner.material"] == "fact"
    assert standing["runner.r1.port_blend_mm"] == "assumed"
    assert standing["throttle.plenum.place"] == "assumed"
    assert "plenum.plenum.wall_mm" not in standing, "thicker than the sheet's 5 mm, for the cord's groove"
    assert "plenum.plenum.depth_mm" not in standing


def test_a_held_volume_makes_the_plenum_as_deep_as_it_asks(sheet, wanted, three):
    held = Held(values={"plenum.plenum.volume_l": 3.5})
    found = describe(sheet(), three, ROOM, wanted(), held)
    plenum = found.design.plena[0]
    corners = (4 - np.pi) * plenum.corner_radius_mm**2
    inside = (plenum.width_mm * plenum.height_mm - corners) * plenum.depth_mm / 1e6
    assert found.unheeded == ()
    assert inside == pytest.approx(3.5, rel=1e-6)


def test_what_cannot_be_followed_is_told(sheet, wanted, three):
    """A grip follows from plates, an unknown washer from no table."""
    held = Held(values={"screw.cover.s1.grip_mm": 30.0, "screw.cover.s1.washer": "ISO 1"})
    found = describe(sheet(), three, ROOM, wanted(), held)
    assert found.unheeded == ("screw.cover.s1.grip_mm", "screw.cover.s1.washer")


def test_the_row_of_mouths_is_where_the_sheet_puts_it(sheet, wanted, three):
    """plenum.at is on the inner face of the floor, plenum.direction square to it."""
    told = sheet(plenum={"at": [4.0, 130.0, 150.0], "direction": [0.0, 1.0, 0.0]})
    found = describe(told, three, ROOM, wanted(), Held())
    assert found.feasible
    plenum = found.design.plena[0]
    middle = np.mean([runner.mouth.at_mm for runner in found.design.runners], axis=0)
    assert plenum.frame.to_world((*middle, plenum.floor_mm)) == pytest.approx([4.0, 130.0, 150.0], abs=1e-6)
    assert plenum.frame.z == pytest.approx((0.0, 1.0, 0.0), abs=1e-9)


@pytest.mark.parametrize("grade", ["8.8", "10.9", "12.9"])
def test_threads_are_cut_as_deep_as_class_and_metal_ask(sheet, wanted, three, grade):
    """The screw breaks before its thread strips (ISO/TR 16224 areas), and a blind hole leaves a pitch under the tip."""
    design = describe(sheet(joint={"property_class": grade}), three, ROOM, wanted(), Held()).design
    needed = engagement_needed_mm("M6", grade, "6061-T651")
    between = [screw for screw in design.screws if screw.joint in ("cover", "neck", "runner")]
    assert min(screw.engagement_mm for screw in between) >= needed
    for screw in between:
        if screw.joint != "runner":
            assert screw.engagement_mm <= screw.tapped_depth_mm - 1.0 + 1e-9
