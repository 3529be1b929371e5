"""Drawings against the description by independent means: an XML parser and shapely."""

import xml.etree.ElementTree as ET

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

from tractwright.geometry.contours import contour_area, polyline
from tractwright.packet.charts.long_section import Strip, long_section
from tractwright.packet.contents import Contents
from tractwright.packet.drawing.face import face_of
from tractwright.packet.drawing.hole_sheet import hole_sheet, hole_sheets
from tractwright.packet.drawing.pattern_sheet import pattern_sheet

_SVG = "{http://www.w3.org/2000/svg}"


def _polygons(svg: bytes) -> list[np.ndarray]:
    root = ET.fromstring(svg)
    return [
        np.array([[float(v) for v in pair.split(",")] for pair in shape.attrib["points"].split()])
        for shape in root.iter(f"{_SVG}polygon")
    ]


def test_every_joint_of_ours_has_a_sheet_that_fits_its_page(whole: Contents):
    sheets = hole_sheets(whole.case)
    assert [sheet.joint for sheet in sheets] == [joint.name for joint in whole.case.design.joints]
    for sheet in sheets:
        root = ET.fromstring(sheet.svg)
        width, height = (float(root.attrib[key].removesuffix("mm")) for key in ("width", "height"))
        room = {("a4", False): (174.0, 150.0), ("a4", True): (261.0, 105.0), ("a3", True): (384.0, 170.0)}
        assert (width, height) <= room[sheet.paper, sheet.across]
        assert height <= room[sheet.paper, sheet.across][1]


def test_the_outline_is_drawn_to_the_scale_it_states(whole: Contents):
    """Area goes with the square of the scale, whichever way up the drawing lies."""
    for joint in whole.case.design.joints:
        sheet = hole_sheet(face_of(whole.case, joint))
        flange = next(f for f in whole.case.design.flanges if f.joint == joint.name)
        drawn = Polygon(_polygons(sheet.svg)[0]).area * sheet.divisor**2
        assert drawn == pytest.approx(Polygon(polyline(flange.contour, 0.01)).area, rel=2e-3)


def test_screw_holes_lie_in_the_metal_of_every_piece(whole: Contents):
    for joint in whole.case.design.joints:
        face = face_of(whole.case, joint)
        for hole in face.holes:
            for _, outline in face.outlines:
                assert Polygon(polyline(outline)).contains(Point(hole.x_mm, hole.y_mm))
            for opening in face.openings:
                assert not Polygon(polyline(opening)).contains(Point(hole.x_mm, hole.y_mm))


def test_openings_are_those_of_the_sheet(whole: Contents):
    """Two oval ports: area of a circle and a rectangle; bores by their diameter."""
    design = whole.case.design
    faces = {joint.kind: face_of(whole.case, joint) for joint in design.joints}
    oval = np.pi / 4 * 28.0**2 + (40.0 - 28.0) * 28.0
    assert [contour_area(o) for o in faces["head"].openings] == pytest.approx([oval] * 2, rel=1e-9)
    assert len(faces["runner"].openings) == 2
    assert [contour_area(o) for o in faces["body"].openings] == pytest.approx([np.pi / 4 * 46.0**2], rel=1e-9)
    plenum = design.plena[0]
    box = plenum.width_mm * plenum.height_mm - (4 - np.pi) * plenum.corner_radius_mm**2
    assert [contour_area(o) for o in faces["cover"].openings] == pytest.approx([box], rel=1e-9)


def test_numbers_stand_apart(whole: Contents):
    for sheet in hole_sheets(whole.case):
        names = {hole.number for hole in sheet.holes}
        texts = [t for t in ET.fromstring(sheet.svg).iter(f"{_SVG}text") if t.text in names]
        assert len(texts) == len(sheet.holes)
        places = np.array([[float(t.attrib["x"]), float(t.attrib["y"])] for t in texts])
        apart = np.linalg.norm(places[:, None] - places[None], axis=2)[~np.eye(len(places), dtype=bool)]
        assert apart.min() > 2.0


def test_a_long_section_is_drawn_whatever_is_known(whole: Contents):
    runner = whole.case.design.runners[0]
    model = whole.case.tubes[runner.name]
    reach = whole.case.plan.passages[0]
    nothing_asked, some = np.full(len(model.s_mm), np.inf), np.linspace(1.0, 90.0, len(model.s_mm))
    for room, cutters, speed in ((nothing_asked, (), 0.0), (some, (reach,), 90.0)):
        svg = long_section(Strip(runner=runner, model=model, room_mm=room, reach=cutters, speed_at_mouth=speed))
        root = ET.fromstring(svg)
        paths = [path.attrib.get("d", "").lower() for path in root.iter(f"{_SVG}path")]
        assert paths
        assert not any("nan" in path or "inf" in path for path in paths)


def test_the_pattern_is_drawn_with_every_name(whole: Contents):
    pattern = whole.case.pattern
    words = " ".join(t.text or "" for t in ET.fromstring(pattern_sheet(pattern, "a")).iter(f"{_SVG}text"))
    for item in (*pattern.ports, *pattern.head_holes):
        assert item.name in words.split()
