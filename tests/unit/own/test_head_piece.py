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

from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, HeadHole, Port
from tractwright.errors import SheetError
from tractwright.geometry.curves import course_at
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle
from tractwright.job.own_tables import OwnPiece
from tractwright.own.head import own_head
from tractwright.own.head_records import OwnHead
from tractwright.own.pattern import pattern_of, pattern_with
from tractwright.own.records import OwnFile
from tractwright.own.stage import own_solid, read_file

PLAIN = DrawnHead()
SLOTTED = DrawnHead(slot=14.0, groove=True)


def _read(path: Path) -> OwnFile:
    read = read_file(path)
    return OwnFile(file=path.name, unit=read.unit, solids=tuple(map(own_solid, read.bodies)), notes=read.notes)


def _head(file: OwnFile, pattern: Pattern | None = None, **words: object) -> OwnHead:
    facts = OwnPiece.model_validate({"own": file.file, **words})
    return own_head(facts, file, "hash", pattern, cylinders=None)


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> OwnFile:
    return _read(write_head(tmp_path_factory.mktemp("own") / "head.step", drawn_head(PLAIN)))


@pytest.fixture(scope="module")
def plain(drawn: OwnFile) -> OwnHead:
    return _head(drawn)


@pytest.fixture(scope="module")
def turned(tmp_path_factory: pytest.TempPathFactory) -> OwnFile:
    place = Location((310, -45, 72), (25, 110, -40))
    return _read(write_head(tmp_path_factory.mktemp("turned") / "head.step", drawn_head(PLAIN), turned=place))


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
    _is_as_drawn(_head(turned), PLAIN)


def test_seen_in_a_mirror_its_odd_screw_stands_at_the_other_end(tmp_path: Path, plain: OwnHead):
    found = _head(_read(write_head(tmp_path / "head.step", drawn_head(PLAIN), mirrored=True)))
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
    file = _read(path)
    assert file.unit == "inch"
    _is_as_drawn(_head(file), PLAIN)


def test_slots_and_a_groove(tmp_path: Path):
    """Straight ovals are told as such; the groove's middle line, width and depth are the drawing's."""
    found = _head(_read(write_head(tmp_path / "head.step", drawn_head(SLOTTED))))
    _is_as_drawn(found, SLOTTED)
    for outline in (found.ports[0].outline, found.runners[0].outline):
        assert outline.kind == "oval"
        assert (outline.width_mm, outline.height_mm) == pytest.approx(
            (SLOTTED.bore + SLOTTED.slot, SLOTTED.bore), abs=0.01
        )
    (groove,) = found.grooves
    assert (groove.width_mm, groove.depth_mm) == pytest.approx((3.4, 2.0), abs=0.01)


def _pattern(step: tuple[float, float], turn_deg: float) -> Pattern:
    """The head's own pattern, its middle moved and turned in the head face."""
    turn = np.radians(turn_deg)

    def there(place: tuple[float, float]) -> tuple[float, float]:
        x, y = place
        return (
            float(x * np.cos(turn) - y * np.sin(turn) + step[0]),
            float(x * np.sin(turn) + y * np.cos(turn) + step[1]),
        )

    ports = tuple(
        Port(name=f"p{k}", bank="a", cylinders=(k,), at_mm=there((x, 0.0)), outline=circle(PLAIN.bore), turn_deg=0.0,
             axis=(0.0, 0.0, 1.0))
        for k, x in enumerate(PLAIN.x, start=1)
    )  # fmt: skip
    holes = tuple(
        HeadHole(name=f"s{k}", bank="a", at_mm=there(place), thread="M8", depth_mm=20.0, stud=False)
        for k, place in enumerate(PLAIN.head_screws[:-1], start=1)
    )
    return Pattern(banks=(Bank(name="a", frame=Frame()),), ports=ports, head_holes=holes)


def test_it_is_laid_on_the_heads_ports_and_screws(turned: OwnFile):
    found = _head(turned, _pattern((3.0, -2.0), 4.0))
    assert found.left_mm < 1e-3
    assert [port.at_mm for port in found.ports] == [
        pytest.approx(port.at_mm, abs=1e-3) for port in _pattern((3.0, -2.0), 4.0).ports
    ]
    assert [port.name for port in found.ports] == ["p1", "p2"]


def test_how_far_it_lies_off_a_head_that_differs_is_measured(drawn: OwnFile):
    """Ports 0.8 mm further apart than the piece's: 0.4 mm each is left, and told against the pattern."""
    known = _pattern((0.0, 0.0), 0.0)
    wider = tuple(
        Port(name=p.name, bank="a", cylinders=p.cylinders, at_mm=(p.at_mm[0] * (1 + 0.8 / PLAIN.pitch), 0.0),
             outline=circle(PLAIN.bore + 0.6), turn_deg=0.0, axis=p.axis)
        for p in known.ports
    )  # fmt: skip
    pattern = Pattern(banks=known.banks, ports=wider, head_holes=())
    found = _head(drawn, pattern)
    assert found.left_mm == pytest.approx(0.4, abs=0.01)
    told = {item.what: item for item in pattern_with(found, pattern).measurements}
    width = told["p1 width in the own piece"]
    assert width.other_source is not None
    assert width.other_source - width.value == pytest.approx(0.6, abs=0.01)


def test_where_nothing_else_tells_of_the_head_the_piece_does(plain: OwnHead):
    pattern = pattern_of(plain, 22.0)
    assert sorted(hole.at_mm for hole in pattern.head_holes) == [
        pytest.approx(place, abs=0.01) for place in sorted(PLAIN.head_screws)
    ]
    assert {(hole.thread, hole.depth_mm) for hole in pattern.head_holes} == {("M8", 22.0)}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"face": "face 9"}, "no joint face 'face 9'"),
        ({"solid": 2}, "1 to 1"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(drawn: OwnFile, words: dict[str, object], said: str):
    with pytest.raises(SheetError, match=said):
        _head(drawn, **words)


def test_a_head_with_another_number_of_ports_is_refused(drawn: OwnFile):
    known = _pattern((0.0, 0.0), 0.0)
    with pytest.raises(SheetError, match="2 passages lead from its head face, and the head has 1 ports"):
        _head(drawn, Pattern(banks=known.banks, ports=known.ports[:1], head_holes=()))


def test_as_drawn_it_has_to_face_the_head(turned: OwnFile, drawn: OwnFile):
    assert _head(drawn, placed="as drawn").frame == Frame()
    with pytest.raises(SheetError, match="deg off"):
        _head(turned, placed="as drawn")


def test_the_other_face_by_the_users_word(drawn: OwnFile, plain: OwnHead):
    """Named, the head face itself is taken for the one the next piece bolts to."""
    mouth = _head(drawn, face="face 2")
    other = "face 1" if mouth.mouth_mm == plain.mouth_mm else "face 2"
    turned_about = mouth if other == "face 2" else _head(drawn, face="face 1")
    assert (turned_about.head_mm, turned_about.mouth_mm) == (plain.mouth_mm, plain.head_mm)


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
    found = _head(_read(write_head(tmp_path / "head.step", fillet(feet, 5.0))))
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
    found = _head(_read(write_head(tmp_path / "head.step", fillet(at_faces, 1.5))))
    for runner, port in zip(found.runners, found.ports, strict=True):
        assert runner.outline.width_mm == pytest.approx(PLAIN.bore, abs=0.01)
        assert port.outline.width_mm == pytest.approx(PLAIN.bore, abs=0.01)
        assert [area for _, area in runner.area_mm2] == pytest.approx([PLAIN.area] * 33, rel=3e-3)


def test_drawn_with_free_form_surfaces_it_is_the_same_piece(tmp_path: Path):
    """Every plane and cylinder turned into a B-spline, as some programs write them."""
    part = drawn_head(PLAIN)
    free = Solid(BRepBuilderAPI_NurbsConvert(part.solid().wrapped, True).Shape())
    assert {face.geom_type for face in free.faces()} == {GeomType.BSPLINE}
    found = _head(_read(write_head(tmp_path / "head.step", free)))
    _is_as_drawn(found, PLAIN)
    assert {hole.thread for hole in found.mouth_holes if hole.use == "tapped"} == {"M6x1"}


def test_the_largest_solid_of_a_file_is_the_piece(tmp_path: Path):
    """An assembly, turned, that begins with two screws."""
    head = drawn_head(PLAIN)
    screws = [Location((x, y, 20.0)) * Cylinder(4, 30) for x, y in PLAIN.head_screws[:2]]
    whole = Compound(label="whole", children=[*screws, head])
    file = _read(write_head(tmp_path / "head.step", Location((500, 20, -30), (0, 90, 90)) * whole))
    assert len(file.solids) == 3
    found = _head(file)
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
    file = _read(write_head(tmp_path / "head.step", block))
    mouth = next(face.name for face in file.solids[0].joint_faces if len(face.openings) == 1)
    found = _head(file, face=mouth)
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
    found = _head(_read(write_head(tmp_path / "head.step", block)), face="face 1")
    other = _head(_read(tmp_path / "head.step"), face="face 2")
    head = found if len(found.mouth_holes) == 4 else other
    assert {hole.thread for hole in head.mouth_holes} == {"M6x1"}
    assert len(head.head_holes) == 4
