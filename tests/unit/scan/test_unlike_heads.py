"""Heads unlike the invented scans: drawn as solids here, their numbers known. Each of these was once read wrongly."""

import manifold3d
import numpy as np
import pytest

from tractwright.errors import ScanError
from tractwright.geometry.meshes import welded
from tractwright.geometry.meshfile import write_stl
from tractwright.job.sheet import JobSheet
from tractwright.scan.clean import cleaned
from tractwright.scan.faces import find_faces
from tractwright.scan.stage import pattern_and_room

Solid, Section = manifold3d.Manifold, manifold3d.CrossSection
SCREWS = [(-95.0, 14.0), (-95.0, -14.0), (0.0, 24.0), (0.0, -24.0), (95.0, 14.0), (95.0, -14.0)]
PORTS = ((-48.0, 40.0), (48.0, 30.0))


def rod(at, diameter, low, high, sides=80) -> Solid:
    return Solid.cylinder(high - low, diameter / 2.0, diameter / 2.0, sides).translate((*at, low))


def part(screws=SCREWS, ports=PORTS, slot=(), dowel=(), second_face=False) -> Solid:
    """A 10 mm plate with ports of given diameters and 9 mm holes, tubes, a round plenum, a throttle face of two screws."""
    plate = Solid.cube((230.0, 76.0, 10.0)).translate((-115.0, -38.0, 0.0))
    body = plate + Solid.cylinder(200.0, 44.0, 44.0, 96, True).rotate((0.0, 90.0, 0.0)).translate((0.0, 20.0, 130.0))
    hollow = Solid.cylinder(190.0, 40.0, 40.0, 96, True).rotate((0.0, 90.0, 0.0)).translate((0.0, 20.0, 130.0))
    if second_face:
        body, hollow = plate + plate.translate((0.0, 0.0, 80.0)), Solid()
    for x, diameter in ports:
        body += rod((x, 0.0), diameter + 9.0, 0.0, 100.0 if not second_face else 80.0)
        hollow += rod((x, 0.0), diameter, -1.0, 110.0)
    if not second_face:
        lugs = [Section.circle(9.0, 48).translate(at) for at in ((0.0, 36.0), (0.0, -36.0))]
        face = Section.batch_hull([Section.circle(32.0, 96), *lugs]).extrude(12.0)
        neck = face + rod((0.0, 0.0), 60.0, -50.0, 12.0)
        cut = (
            rod((0.0, 0.0), 52.0, -60.0, 13.0) + rod((0.0, 36.0), 6.6, -5.0, 13.0) + rod((0.0, -36.0), 6.6, -5.0, 13.0)
        )
        body += neck.rotate((0.0, 90.0, 0.0)).translate((128.0, 20.0, 130.0))
        hollow += cut.rotate((0.0, 90.0, 0.0)).translate((128.0, 20.0, 130.0))
    for at in screws:
        long = Section.batch_hull([Section.circle(4.5, 80).translate((s, 0.0)) for s in (-2.0, 2.0)])
        hollow += (
            long.extrude(30.0).translate((*at, -1.0))
            if at in slot
            else rod(at, 9.0, -1.0, 120.0 if second_face else 30.0)
        )
    for x, y, diameter in dowel:
        hollow += rod((x, y), diameter, -1.0, 9.0)
    return body - hollow


def drawn(solid: Solid) -> np.ndarray:
    mesh = solid.to_mesh()
    return np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts)].astype(np.float32)


def read(tmp_path, solid: Solid, cylinders=2, factor=1.0, **scan):
    write_stl(tmp_path / "part.stl", (drawn(solid.refine_to_length(2.0)) * factor).astype(np.float32), "drawn")
    engine = {"cylinders": cylinders, "bore": 80.0, "stroke": 80.0}
    given = {"job": {"name": "drawn"}, "engine": engine, "room": {"use_scan": False}}
    return pattern_and_room(JobSheet.model_validate({**given, "scan": {"file": "part.stl", **scan}}), tmp_path)[0]


def places(pattern) -> list[tuple[float, float]]:
    return sorted((round(hole.at_mm[0], 1), round(hole.at_mm[1], 1)) for hole in pattern.head_holes)


def sure_of(pattern, start: str) -> float:
    return min(item.sure for item in pattern.measurements if item.what.startswith(start))


def test_a_small_throttle_face_beside_a_round_plenum_is_found(tmp_path):
    """Strips of the round plenum each took a plane's place, and the throttle's face, the smallest, came to none."""
    pattern = read(tmp_path, part())
    assert pattern.throttle_face is not None
    assert pattern.throttle_face.bore_mm == pytest.approx(52.0, abs=0.12)
    assert pattern.throttle_face.frame.z == pytest.approx((1.0, 0.0, 0.0), abs=1e-3)
    assert len(pattern.throttle_face.holes_mm) == 2
    assert sure_of(pattern, "throttle bore") > 0.5


def test_ports_of_unlike_size_are_one_row(tmp_path):
    """40 and 30 mm: the smaller was once taken for a further opening, and the scan refused for a port too few."""
    pattern = read(tmp_path, part())
    assert [port.outline.width_mm for port in pattern.ports] == pytest.approx([40.0, 30.0], abs=0.12)
    assert [port.at_mm[0] for port in pattern.ports] == pytest.approx([-48.0, 48.0], abs=0.06)


def test_a_slot_is_a_screw_hole_at_its_middle(tmp_path):
    """Drawn-out holes were once further openings, and their screws missed."""
    pattern = read(tmp_path, part(slot=SCREWS[2:4]))
    assert places(pattern) == sorted(SCREWS)
    assert sum("is a slot of 9.0 x 13.0 mm" in note for note in pattern.notes) == 2
    assert sure_of(pattern, "hole ") > 0.5


def test_a_hole_wider_than_the_others_is_not_called_sure(tmp_path):
    """A dowel hole of 9.6 mm suits an M8 screw too: it was once a screw hole, and sure."""
    pattern = read(tmp_path, part(dowel=[(108.0, 30.0, 9.6)]))
    (name,) = (hole.name for hole in pattern.head_holes if hole.at_mm == pytest.approx((108.0, 30.0), abs=0.1))
    assert sure_of(pattern, f"hole {name} ") < 0.5
    assert all(sure_of(pattern, f"hole {hole.name} ") > 0.5 for hole in pattern.head_holes if hole.name != name)
    assert any("9.6 mm wide, most are 9.0: a dowel's?" in note for note in pattern.notes)


def test_a_scan_in_inches_is_told_by_its_holes(tmp_path):
    """9 inches long: as cm 229 mm, which is a manifold's size too, but no screw goes into holes of 3.5 mm."""
    pattern = read(tmp_path, part(), factor=1.0 / 25.4)
    assert [port.at_mm[0] for port in pattern.ports] == pytest.approx([-48.0, 48.0], abs=0.06)
    assert any("guessed as inch" in note for note in pattern.notes)


def test_two_faces_alike_are_not_sure_until_one_is_picked(tmp_path):
    """A middle piece: both its faces show both ports and all screws."""
    pattern = read(tmp_path, part(second_face=True))
    assert sure_of(pattern, "port ") < 0.5
    assert sure_of(pattern, "head face") < 0.5
    assert any("not sure which face is the head's" in note and "head_face_at" in note for note in pattern.notes)
    picked = read(tmp_path, part(second_face=True), head_face_at=[10.0, 20.0, 0.5])
    assert sure_of(picked, "port ") > 0.5
    assert sorted(port.outline.width_mm for port in picked.ports) == pytest.approx([30.0, 40.0], abs=0.12)


def test_a_point_beside_every_face_is_refused(tmp_path):
    with pytest.raises(ScanError, match="at the picked point"):
        read(tmp_path, part(), head_face_at=[0.0, 0.0, 60.0])


def test_two_banks_ask_which_is_meant(tmp_path):
    """Two head faces with two ports each, the engine a four: each has a point that says which, and none is guessed at."""
    with pytest.raises(ScanError, match="2 faces like a head's of 2 ports each") as raised:
        read(tmp_path, part(ports=((-48.0, 34.0), (48.0, 34.0)), second_face=True), cylinders=4)
    assert "head_face_at" in str(raised.value)
    assert "\n" not in str(raised.value)


def test_a_single_ports_face_is_not_mistaken_for_the_throttles(tmp_path):
    """One port with two screws, a throttle's bore with two: the throttle's face is the rival, and the doubt is told."""
    pattern = read(tmp_path, part(screws=SCREWS[2:4], ports=((0.0, 34.0),)), cylinders=1)
    assert pattern.ports[0].outline.width_mm in (pytest.approx(34.0, abs=0.12), pytest.approx(52.0, abs=0.12))
    assert sure_of(pattern, "port ") < 0.5
    assert any("not sure which face" in note for note in pattern.notes)


def test_holes_of_few_sides_are_less_sure():
    """Nine millimetres by a polygon of seven sides: its chords run 0.45 mm inside, r (1 - cos(pi / 7))."""
    solid = part()
    for at in SCREWS[:2]:
        solid += rod(at, 20.0, 0.0, 10.0)
        solid -= rod(at, 9.0, -1.0, 11.0, sides=7)
    head, _ = find_faces(cleaned(welded(drawn(solid)), "part.stl").mesh, 2)
    sure = sorted(hole.sure for hole in head.screws)
    assert len(sure) == 6
    assert sure[1] < 0.8
    assert sure[2] > 0.95
