"""Joint faces, openings, holes and grooves of parts drawn in another library, against what they were drawn with."""

import re
from math import pi

import numpy as np
import pytest
from build123d import (
    Align,
    Axis,
    Box,
    CounterBoreHole,
    CounterSinkHole,
    Cylinder,
    GeomType,
    Hole,
    Locations,
    Mode,
    Part,
    Plane,
    Pos,
    Rot,
    SlotOverall,
    Solid,
    chamfer,
    export_step,
    extrude,
    fillet,
    mirror,
)
from build123d.build_part import BuildPart

from tractwright.geometry.contours import contour_area
from tractwright.own.records import JointFace, OwnSolid
from tractwright.own.stage import read_file

PORTS = ((-60.0, 4.0), (60.0, 4.0))
SCREWS = ((-100.0, 22.0), (-100.0, -22.0), (0.0, 22.0), (0.0, -22.0), (100.0, 22.0), (100.0, -22.0))
DOWELS = ((-85.0, 0.0), (85.0, 0.0))
BORE, CLEARANCE, COUNTERBORE, SINK = 34.0, 9.0, 15.0, 5.0


def flange() -> Part:
    """A plate 230 x 70 x 16: two round ports, six counterbored holes for M8, two blind 8 mm holes; its joint face at z = 0."""
    with BuildPart() as plate:
        Box(230, 70, 16, align=(Align.CENTER, Align.CENTER, Align.MIN))
        with Locations(*((x, y, 16.0) for x, y in PORTS)):
            Hole(BORE / 2)
        with Locations(*((x, y, 16.0) for x, y in SCREWS)):
            CounterBoreHole(CLEARANCE / 2, COUNTERBORE / 2, SINK)
        with Locations(*((x, y, 5.0) for x, y in DOWELS)):
            Cylinder(4.0, 10.0, mode=Mode.SUBTRACT)
    return plate.part


def _face_towards(solid: OwnSolid, way: tuple[float, float, float]) -> JointFace:
    return next(face for face in solid.joint_faces if np.dot(face.frame.z, way) > 0.999999)


def test_a_plain_flange_gives_every_opening_and_hole(read):
    face = _face_towards(read(flange()), (0, 0, -1))
    assert [o.area_mm2 for o in face.openings] == pytest.approx([pi / 4 * BORE**2] * 2, rel=1e-9)
    places = sorted(tuple(np.round(face.frame.to_world(o.centre_mm), 6)) for o in face.openings)
    assert places == [(-60.0, 4.0, 0.0), (60.0, 4.0, 0.0)]
    passing = [hole for hole in face.holes if hole.use == "clearance"]
    assert {tuple(np.round(hole.at_mm[:2], 6)) for hole in passing} == set(SCREWS)
    for hole in passing:
        assert (hole.thread, hole.through, hole.crossed) == ("M8", True, False)
        assert (hole.bore_mm, hole.counterbore_mm) == pytest.approx((CLEARANCE, COUNTERBORE))
        assert (hole.depth_mm, hole.seat_depth_mm) == pytest.approx((16.0, 16.0 - SINK))
    pins = [hole for hole in face.holes if hole.use == "dowel"]
    assert {tuple(np.round(pin.at_mm[:2], 6)) for pin in pins} == set(DOWELS)
    assert [pin.bore_mm for pin in pins] == pytest.approx([8.0, 8.0])
    assert [pin.depth_mm for pin in pins] == pytest.approx([10.0, 10.0])
    assert contour_area(face.outlines[0]) == pytest.approx(230.0 * 70.0)


def test_lands_round_a_port_are_the_drawn_ones(read):
    """Between port and the dowel's hole: 25 - 17 - 4 (sqrt of the offset counted)."""
    face = _face_towards(read(flange()), (0, 0, -1))
    drawn = np.hypot(25.0, 4.0) - BORE / 2 - 4.0
    assert [opening.land_mm for opening in face.openings] == pytest.approx([drawn, drawn], abs=1e-2)
    assert all(opening.beside.startswith("hole") for opening in face.openings)


@pytest.mark.parametrize(
    "moved",
    [Rot(30, 20, 50), Pos(1000, -200, 50) * Rot(0, 0, 90), Rot(180, 0, 0)],
    ids=["turned", "far away", "upside down"],
)
def test_a_flange_is_the_same_wherever_it_lies(read, moved):
    solid = read(moved * flange())
    z = (moved * Plane.XY).z_dir
    face = _face_towards(solid, (-z.X, -z.Y, -z.Z))
    assert sorted(hole.use for hole in face.holes) == ["clearance"] * 6 + ["dowel"] * 2
    pitch = np.linalg.norm(np.subtract(face.openings[0].centre_mm, face.openings[1].centre_mm))
    assert pitch == pytest.approx(120.0, abs=1e-6)


def test_a_mirrored_flange_is_read_mirrored(read):
    with BuildPart() as plate:
        Box(100, 60, 10)
        with Locations((30, 20, 0), (-30, 20, 0), (-30, -20, 0)):
            Hole(3.3)
    face = _face_towards(read(mirror(plate.part, about=Plane.YZ)), (0, 0, 1))
    assert {tuple(np.round(hole.at_mm[:2], 6)) for hole in face.holes} == {(-30, 20), (30, 20), (30, -20)}
    assert {hole.thread for hole in face.holes} == {"M6"}


def test_a_blind_tapped_hole_with_chamfer_and_point(read):
    """An M6 tapping hole 5.0 x 15 with a 118 degree point and a chamfered mouth, as drills leave it."""
    with BuildPart() as plate:
        Box(80, 80, 30, align=(Align.CENTER, Align.CENTER, Align.MAX))
        with Locations((0, 20, 0), (20, -20, 0), (-20, -20, 0)):
            Cylinder(2.5, 15.0, align=(Align.CENTER, Align.CENTER, Align.MAX), mode=Mode.SUBTRACT)
        chamfer(plate.faces().sort_by(Axis.Z)[-1].edges().filter_by(GeomType.CIRCLE), 0.7)
    face = _face_towards(read(plate.part), (0, 0, 1))
    for hole in face.holes:
        assert (hole.use, hole.thread, hole.through) == ("tapped", "M6x1", False)
        assert (hole.bore_mm, hole.mouth_mm, hole.depth_mm) == pytest.approx((5.0, 6.4, 15.0))


def test_a_groove_round_an_opening(read):
    """A racetrack groove 3.6 wide and 2.1 deep, by two slots drawn about one another."""
    with BuildPart() as plate:
        Box(140, 90, 14, align=(Align.CENTER, Align.CENTER, Align.MIN))
        with Locations((0, 0, 14)):
            Hole(20)
    part = plate.part
    outer = extrude(SlotOverall(103.2, 63.2).face().moved(Pos(0, 0, 14)), -2.1)
    inner = extrude(SlotOverall(96.0, 56.0).face().moved(Pos(0, 0, 14)), -2.1)
    face = _face_towards(read(part - (outer - inner)), (0, 0, 1))
    (groove,) = face.grooves
    assert (groove.width_mm, groove.depth_mm) == pytest.approx((3.6, 2.1), abs=1e-3)
    assert len(face.openings) == 1
    assert contour_area(groove.outer) == pytest.approx(pi / 4 * 63.2**2 + 40.0 * 63.2, rel=1e-6)


def test_faces_that_something_stands_on_are_no_joint_faces(read):
    """A boss blended into the top: only the underside can bear on another part."""
    with BuildPart() as plate:
        Box(120, 80, 10, align=(Align.CENTER, Align.CENTER, Align.MAX))
        with Locations((0, 0, 0)):
            Cylinder(20, 30, align=(Align.CENTER, Align.CENTER, Align.MIN))
        foot = plate.edges().filter_by(GeomType.CIRCLE).group_by(Axis.Z)[0]
        fillet(foot, 5)
        with Locations((45, 30), (-45, 30), (45, -30), (-45, -30)):
            Hole(4.5)
    solid = read(plate.part)
    assert [tuple(np.round(face.frame.z, 6) + 0.0) for face in solid.joint_faces] == [(0.0, 0.0, -1.0)]


def test_an_inch_file_is_read_in_millimetres(tmp_path):
    """A cube of side 2 whose unit is made the inch in the text, as ISO 10303-41 spells a converted unit."""
    path = tmp_path / "inch.step"
    export_step(Box(2, 2, 2), path)
    inch = "( CONVERSION_BASED_UNIT('INCH',#9001) LENGTH_UNIT() NAMED_UNIT(#9002) )"
    text, count = re.subn(
        r"\( LENGTH_UNIT\(\) NAMED_UNIT\(\*\) SI_UNIT\(\.MILLI\.,\.METRE\.\) \)", inch, path.read_text()
    )
    assert count == 1
    more = (
        "#9000=( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) );\n"
        "#9001=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#9000);\n"
        "#9002=DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.);\nENDSEC;\nEND-ISO"
    )
    path.write_text(text.replace("ENDSEC;\nEND-ISO", more))
    found = read_file(path)
    assert found.unit == "inch"
    assert found.bodies[0].volume_mm3 == pytest.approx(50.8**3, rel=1e-9)


def test_slotted_holes_are_holes_and_no_passages(read):
    """Through, and with a slotted counterbore: width, length and seat as drawn. They were once read as openings for air."""
    plate = Box(160, 80, 14, align=(Align.CENTER, Align.CENTER, Align.MIN)) - Cylinder(18, 60)
    for x in (-60, 60):
        plate -= Pos(x, 25, 0) * extrude(SlotOverall(13, 9), 14)
        plate -= Pos(x, -25, 0) * extrude(SlotOverall(13, 9), 14)
        plate -= Pos(x, -25, 8) * extrude(SlotOverall(19, 15), 6)
    face = _face_towards(read(plate), (0, 0, -1))
    assert len(face.openings) == 1
    assert [(h.use, h.thread, h.through) for h in face.holes] == [("clearance", "M8", True)] * 4
    assert [h.bore_mm for h in face.holes] == pytest.approx([9.0] * 4)
    assert [h.slot_mm for h in face.holes] == pytest.approx([4.0] * 4)
    assert {tuple(np.abs(np.round(h.slot_way, 6))) for h in face.holes} == {(1.0, 0.0, 0.0)}
    stepped = [h for h in face.holes if h.counterbore_mm]
    assert [(h.counterbore_mm, h.seat_depth_mm) for h in stepped] == [pytest.approx((15.0, 8.0))] * 2
    assert sum(h.use == "clearance" for h in read(plate).holes) == 4


def test_a_wide_slot_is_a_port(read):
    plate = Box(160, 80, 14) - extrude(SlotOverall(44, 26), 60, both=True)
    face = _face_towards(read(plate), (0, 0, 1))
    assert [opening.size_mm for opening in face.openings] == [pytest.approx((44.0, 26.0), abs=1e-3)]


def test_countersunk_holes_pass_a_screw_from_either_side(read):
    """An M6 hole 6.6 with a 90 degree sink of 13.2: seen from the sink it once passed for a thread's chamfer."""
    with BuildPart() as plate:
        Box(100, 60, 12)
        with Locations((30, 20, 6), (-30, 20, 6), (0, -20, 6)):
            CounterSinkHole(3.3, 6.6, counter_sink_angle=90)
    for face in read(plate.part).joint_faces:
        assert [(hole.use, hole.thread) for hole in face.holes] == [("clearance", "M6")] * 3


def test_holes_drawn_as_taper_pipe_threads(read):
    """Cones of 1 : 16 on the diameter (ASME B1.20.1), as wide at the mouth as the pipe of 1/8 and 1/4."""
    block = Box(120, 60, 40, align=(Align.CENTER, Align.CENTER, Align.MAX))
    for x, mouth in ((-30.0, 0.405 * 25.4), (30.0, 0.54 * 25.4)):
        cone = Solid.make_cone(mouth / 2.0 - 18.0 / 32.0, mouth / 2.0, 18.0)
        block -= Pos(x, 0, -18.0) * cone
    assert sorted((hole.use, hole.thread) for hole in read(block).holes) == [("pipe", "1/4 NPT"), ("pipe", "1/8 NPT")]
