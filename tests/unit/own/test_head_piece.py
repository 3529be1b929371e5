"""Head pieces drawn in another library, read as the description tells them: their truth is known in closed form.

The source of every expected value is the drawing itself (`drawn_heads.py`), drawn by build123d.
"""

import re
from pathlib import Path

import numpy as np
import pytest
from build123d import (
    Align,
    Box,
    Circle,
    Compound,
    Cylinder,
    GeomType,
    Location,
    Plane,
    Pos,
    Solid,
    Sphere,
    Vector,
    extrude,
    fillet,
)
from drawn_heads import DrawnHead, drawn_head, write_head
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert
from read_heads import PLAIN, head_in, read_whole

from tractwright.geometry.curves import course_at
from tractwright.own.head_records import OwnHead
from tractwright.own.records import OwnFile

SLOTTED = DrawnHead(slot=14.0, groove=True)


def _is_as_drawn(found: OwnHead, head: DrawnHead) -> None:
    """Places within a hundredth, directions within a hundredth of a degree."""
    y, z = head.mouth_at
    assert [port.at_mm for port in found.ports] == [pytest.approx((x, 0.0), abs=0.01) for x in head.x]
    assert found.mouth_frame.origin_mm == pytest.approx((0.0, y, z), abs=0.01)
    assert found.mouth_frame.z == pytest.approx((0.0, 1.0, 0.0), abs=2e-4)
    assert found.mouth_frame.x == pytest.approx((1.0, 0.0, 0.0), abs=2e-4)
    assert (found.head_mm, found.mouth_mm) == pytest.approx((head.head_plate, head.mouth_plate), abs=1e-3)
    for runner, x in zip(found.runners, head.x, strict=True):
        assert runner.mouth_mm == pytest.approx((x, 0.0), abs=0.01)
        assert runner.length_mm == pytest.approx(head.length, rel=1e-3)
        assert [area for _, area in runner.area_mm2] == pytest.approx([head.area] * 33, rel=3e-3)
        assert [wall for _, wall in runner.wall_mm] == pytest.approx([head.wall] * 33, abs=0.05)
        assert runner.lean_deg < 0.01
        assert runner.off_mm < 0.1


def test_a_plain_head_is_told_as_it_was_drawn(plain: OwnHead):
    found = plain
    _is_as_drawn(found, PLAIN)
    assert {port.outline.kind for port in found.ports} == {"circle"}
    assert found.ports[0].outline.width_mm == pytest.approx(PLAIN.bore, abs=1e-3)
    assert found.unknown == ()


def test_its_course_keeps_to_the_quarter_circle(plain: OwnHead):
    """Every point of the fitted curve lies on the straights or the circle that were drawn, within 0.1 mm."""
    runner = plain.runners[0]
    points = course_at(np.array(runner.poles_mm), np.linspace(0.0, 1.0, 200))[0]
    y, z = points[:, 1], points[:, 2]
    bend = np.abs(np.hypot(y - PLAIN.bend, z - PLAIN.run) - PLAIN.bend)
    off = np.where(z < PLAIN.run, np.abs(y), np.where(y > PLAIN.bend, np.abs(z - PLAIN.run - PLAIN.bend), bend))
    assert off.max() < 0.1
    assert np.abs(points[:, 0] - PLAIN.x[0]).max() < 0.05


def test_holes_threads_and_roots(plain: OwnHead):
    """A 5.0 mm bore is M6's tap drill (ISO 2306), 9.0 mm passes M8 (ISO 273); the tubes stand on the plates unrounded."""
    found = plain
    tapped = {hole.at_mm: hole for hole in found.mouth_holes if hole.use == "tapped"}
    wanted = sorted((x, -at) for x, at in PLAIN.rim_screws)  # the mouth frame's y points against z
    assert sorted(tapped) == [pytest.approx(place, abs=0.01) for place in wanted]
    assert {hole.thread for hole in tapped.values()} == {"M6x1"}
    assert all(hole.through and hole.depth_mm == pytest.approx(PLAIN.mouth_plate) for hole in tapped.values())
    assert sum(hole.use == "dowel" for hole in found.mouth_holes) == len(PLAIN.dowels)
    passing = [hole for hole in found.head_holes if hole.use == "clearance"]
    assert len(passing) == len(PLAIN.head_screws)
    assert {(hole.thread, round(hole.seat_mm, 3)) for hole in passing} == {("M8", PLAIN.head_plate)}
    assert {runner.roots_mm for runner in found.runners} == {(0.0, 0.0)}


def test_turned_and_moved_it_is_the_same_piece(drawn: OwnFile, turned: OwnFile):
    _is_as_drawn(head_in(turned), PLAIN)


def test_seen_in_a_mirror_its_odd_screw_stands_at_the_other_end(tmp_path: Path, plain: OwnHead):
    found = head_in(read_whole(write_head(tmp_path / "head.step", drawn_head(PLAIN), mirrored=True)))
    _is_as_drawn(found, PLAIN)

    def odd(head: OwnHead) -> float:
        return next(hole.at_mm[0] for hole in head.mouth_holes if abs(abs(hole.at_mm[0]) - 82.0) < 0.1)

    assert odd(found) == pytest.approx(-odd(plain), abs=0.01)


def test_an_inch_file(tmp_path: Path):
    """The same numbers over 25.4, the unit in the text the inch, as ISO 10303-41 spells a converted unit."""
    path = write_head(tmp_path / "head.step", drawn_head(PLAIN), inch=True)
    inch = "( CONVERSION_BASED_UNIT('INCH',#900001) LENGTH_UNIT() NAMED_UNIT(#900002) )"
    text, count = re.subn(
        r"\( LENGTH_UNIT\(\) NAMED_UNIT\(\*\) SI_UNIT\(\.MILLI\.,\.METRE\.\) \)", inch, path.read_text()
    )
    assert count == 1
    added = (
        "#900000=( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) );\n"
        "#900001=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#900000);\n"
        "#900002=DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.);\n"
    )
    path.write_text(text.replace("ENDSEC;\nEND-ISO", f"{added}ENDSEC;\nEND-ISO"))
    file = read_whole(path)
    assert file.unit == "inch"
    _is_as_drawn(head_in(file), PLAIN)


def test_slots_and_a_groove(tmp_path: Path):
    """Straight ovals are told as such; the groove's middle line, width and depth are the drawing's."""
    found = head_in(read_whole(write_head(tmp_path / "head.step", drawn_head(SLOTTED))))
    _is_as_drawn(found, SLOTTED)
    for outline in (found.ports[0].outline, found.runners[0].outline):
        assert outline.kind == "oval"
        assert (outline.width_mm, outline.height_mm) == pytest.approx(
            (SLOTTED.bore + SLOTTED.slot, SLOTTED.bore), abs=0.01
        )
    (groove,) = found.grooves
    assert (groove.width_mm, groove.depth_mm) == pytest.approx((3.4, 2.0), abs=0.01)


def test_straights_end_where_they_were_drawn_to_end(plain: OwnHead):
    """The bend begins 30 mm from the head and ends 34 mm before the mouths: told within a millimetre."""
    for runner in plain.runners:
        assert runner.port_lead_mm == pytest.approx(PLAIN.run, abs=1.0)
        assert runner.end_lead_mm == pytest.approx(PLAIN.rise, abs=1.0)


def test_a_rounded_root_is_measured(tmp_path: Path):
    """A ball of 5 mm rolled along the foot of a tube by build123d's fillet."""
    part = drawn_head(PLAIN)
    feet = (
        part.edges()
        .filter_by(GeomType.CIRCLE)
        .filter_by(
            lambda edge: (
                abs(edge.radius - PLAIN.bore / 2 - PLAIN.wall) < 1e-6 and abs(edge.center().Z - PLAIN.head_plate) < 1e-6
            )
        )
    )
    assert len(feet) == PLAIN.count
    found = head_in(read_whole(write_head(tmp_path / "head.step", fillet(feet, 5.0))))
    for runner in found.runners:
        at_head, at_mouth = runner.roots_mm
        assert at_head == pytest.approx(5.0, abs=0.05)
        assert at_mouth == 0.0


def test_a_rounded_opening_is_as_large_as_its_passage(tmp_path: Path):
    """The rims of the mouths rounded with 1.5: the opening drawn is 41 across, the passage that has to be met 38."""
    part = drawn_head(PLAIN)
    rims = part.edges().filter_by(GeomType.CIRCLE).filter_by(lambda edge: abs(edge.radius - PLAIN.bore / 2) < 1e-6)
    y, _ = PLAIN.mouth_at
    at_faces = rims.filter_by(lambda edge: abs(edge.center().Z) < 1e-6 or abs(edge.center().Y - y) < 1e-6)
    found = head_in(read_whole(write_head(tmp_path / "head.step", fillet(at_faces, 1.5))))
    for runner, port in zip(found.runners, found.ports, strict=True):
        assert runner.outline.width_mm == pytest.approx(PLAIN.bore, abs=0.01)
        assert port.outline.width_mm == pytest.approx(PLAIN.bore, abs=0.01)
        assert [area for _, area in runner.area_mm2] == pytest.approx([PLAIN.area] * 33, rel=3e-3)


def test_drawn_with_free_form_surfaces_it_is_the_same_piece(tmp_path: Path):
    """Every plane and cylinder turned into a B-spline, as some programs write them."""
    part = drawn_head(PLAIN)
    free = Solid(BRepBuilderAPI_NurbsConvert(part.solid().wrapped, True).Shape())
    assert {face.geom_type for face in free.faces()} == {GeomType.BSPLINE}
    found = head_in(read_whole(write_head(tmp_path / "head.step", free)))
    _is_as_drawn(found, PLAIN)
    assert {hole.thread for hole in found.mouth_holes if hole.use == "tapped"} == {"M6x1"}


def test_the_largest_solid_of_a_file_is_the_piece(tmp_path: Path):
    """An assembly, turned, that begins with two screws."""
    head = drawn_head(PLAIN)
    screws = [Location((x, y, 20.0)) * Cylinder(4, 30) for x, y in PLAIN.head_screws[:2]]
    whole = Compound(label="whole", children=[*screws, head])
    file = read_whole(write_head(tmp_path / "head.step", Location((500, 20, -30), (0, 90, 90)) * whole))
    assert len(file.solids) == 3
    found = head_in(file)
    assert found.solid == 3
    _is_as_drawn(found, PLAIN)


def test_two_ports_that_run_into_one_mouth(tmp_path: Path):
    """Two bores 32 lean 45 to each side into one of 44: one runner of two ports, as large as both, then as the mouth."""
    rise, aside = 70.0, 45.0
    block = Pos(0, 0, 65) * Box(180, 110, 130)
    for x in (-aside, aside):
        way = Vector(-x, 0, rise)
        block -= extrude(Plane(origin=Vector(x, 0, 0) - way * 0.4, z_dir=way) * Circle(16), way.length * 1.4)
    block -= Pos(0, 0, rise) * (Cylinder(22, 60, align=(Align.CENTER, Align.CENTER, Align.MIN)) + Sphere(22))
    for x in (-75, 0, 75):
        for y in (-45, 45):
            block -= Pos(x, y, 0) * Cylinder(4.5, 60) + Pos(x, y, 130) * Cylinder(2.5, 40)
    file = read_whole(write_head(tmp_path / "head.step", block))
    mouth = next(face.name for face in file.solids[0].joint_faces if len(face.openings) == 1)
    found = head_in(file, face=mouth)
    assert [port.at_mm[0] for port in found.ports] == pytest.approx([-aside, aside], abs=0.01)
    (runner,) = found.runners
    assert runner.ports == ("p1", "p2")
    assert runner.outline.width_mm == pytest.approx(44.0, abs=0.01)
    areas = [area for _, area in runner.area_mm2]
    assert areas[0] == pytest.approx(2 * np.pi * 16**2, rel=1e-3)
    assert areas[-1] == pytest.approx(np.pi * 22**2, rel=1e-3)
    assert any("run into one mouth" in why for _, why in found.unknown)
    assert min(wall for _, wall in runner.wall_mm) > 2.0


def test_holes_sunk_from_the_mouths_side_are_the_heads(tmp_path: Path):
    """A block whose long screws to the head are sunk from the mouths' face: none of them is for the next piece."""
    block = Pos(0, 0, 40) * Box(200, 110, 80) - Cylinder(19, 400)
    for x in (-85, 85):
        for y in (-40, 40):
            block -= Pos(x, y, 0) * Cylinder(4.5, 400) + Pos(x, y, 70) * Cylinder(7.5, 40)
    for x in (-60, 60):
        for y in (-45, 45):
            block -= Pos(x, y, 80) * Cylinder(2.5, 30)
    found = head_in(read_whole(write_head(tmp_path / "head.step", block)), face="face 1")
    other = head_in(read_whole(tmp_path / "head.step"), face="face 2")
    head = found if len(found.mouth_holes) == 4 else other
    assert {hole.thread for hole in head.mouth_holes} == {"M6x1"}
    assert len(head.head_holes) == 4
