"""Pockets of the head flange: where they are cut, and what is left round them."""

from dataclasses import replace

import pytest
import shapely
from check_cases import SHEET, described_case

from tractwright.check.rules.wall_pocket import LEAST_MM
from tractwright.check.rules.wall_pocket_floor import LEAST_MM as FLOOR_MM
from tractwright.geometry.contours import least_radius, polyline

POCKETS = "[head]\npockets = true\n"
FIRST = "pocket.head.k1"


@pytest.fixture(scope="module")
def pocketed(tmp_path_factory):
    return described_case(tmp_path_factory.mktemp("pocketed"), SHEET + POCKETS)


def of(findings, path):
    return next(finding for name, finding in findings.items() if path in name.split("+"))


def test_pockets_lie_between_ports_and_keep_their_land_and_corners(pocketed):
    """Three ports 82 mm apart: one pocket in each of the two spaces, alike; 4 mm to the edge, 5 mm of floor."""
    first, second = pocketed.design.pockets
    flange = next(item for item in pocketed.design.flanges if item.name == "head")
    areas = [shapely.Polygon(polyline(item.contour)) for item in (first, second)]
    assert areas[0].area == pytest.approx(areas[1].area, rel=1e-6)
    assert areas[1].centroid.x - areas[0].centroid.x == pytest.approx(82.0)
    edge = shapely.Polygon(polyline(flange.contour)).exterior
    assert min(edge.distance(area) for area in areas) >= 4.0 - 0.02
    assert least_radius(first.contour) == pytest.approx(4.0)
    assert flange.thickness_mm - first.depth_mm == pytest.approx(5.0)


def test_no_pocket_where_none_is_asked_for(sound):
    assert sound.design.pockets == ()


def _box(case, x_mm):
    """A square pocket of 4 mm beside screw head.s1, its near side x_mm from the screw's middle."""
    screw = next(s for s in case.design.screws if s.name == "head.s1")
    x, y = screw.seat_mm[0] + x_mm, screw.seat_mm[1]
    return {f"{FIRST}.contour": tuple((x + a, y + b, 0.0) for a, b in ((0, -2), (4, -2), (4, 2), (0, 2)))}


def _beside(case, having, left_mm):
    wide = {f"screw.{s.name}.post_mm": 8.0 for s in case.design.screws}
    return having(case, {**_box(case, 8.0 + left_mm), **wide})  # a washer for M8 is 16 mm across (ISO 7089)


def _no_edge(case):
    """The flange without an edge near by."""
    wide = tuple((x, y, 0.0) for x, y in ((-400, -400), (400, -400), (400, 400), (-400, 400)))
    flanges = tuple(replace(f, contour=wide) if f.name == "head" else f for f in case.design.flanges)
    return replace(case, described=replace(case.described, design=replace(case.design, flanges=flanges)))


def test_wall_pocket_holds_at_its_limit(pocketed, judged, having):
    finding = of(judged(_no_edge(_beside(pocketed, having, LEAST_MM)), "wall.pocket"), FIRST)
    assert (finding.measured, finding.verdict) == (pytest.approx(LEAST_MM), "ok")


def test_wall_pocket_breaks_just_over(pocketed, judged, having):
    finding = of(judged(_no_edge(_beside(pocketed, having, LEAST_MM - 0.01)), "wall.pocket"), FIRST)
    assert finding.verdict == "stop"
    assert "screw.head.s1" in finding.subject
    outside = having(pocketed, {f"{FIRST}.contour": ((300, 0, 0.0), (310, 0, 0.0), (310, 9, 0.0))})
    assert of(judged(outside, "wall.pocket"), FIRST).measured < 0.0


def test_wall_pocket_floor_holds_at_its_limit(pocketed, judged, having):
    assert judged(having(pocketed, _deep(pocketed, FLOOR_MM)), "wall.pocket_floor")[FIRST].verdict == "ok"


def test_wall_pocket_floor_breaks_just_over(pocketed, judged, having):
    assert judged(having(pocketed, _deep(pocketed, FLOOR_MM - 0.01)), "wall.pocket_floor")[FIRST].verdict == "stop"


def _deep(case, floor_mm):
    flange = next(item for item in case.design.flanges if item.name == "head")
    return {f"{FIRST}.depth_mm": flange.thickness_mm - floor_mm}


def test_cut_pocket_corner_holds_at_its_limit(pocketed, judged, having):
    deep = {f"{FIRST}.depth_mm": 8.0 * pocketed.sheet.shop.longest_stickout}  # corners of 4 mm: a cutter of 8 mm
    assert judged(having(pocketed, deep), "cut.pocket_corner")[FIRST].verdict == "ok"


def test_cut_pocket_corner_breaks_just_over(pocketed, judged, having):
    deep = {f"{FIRST}.depth_mm": 8.0 * pocketed.sheet.shop.longest_stickout + 0.1}
    assert judged(having(pocketed, deep), "cut.pocket_corner")[FIRST].verdict == "look"


def test_cut_pockets_found_holds_at_its_limit(pocketed, judged):
    one = replace(pocketed.design, pockets=pocketed.design.pockets[:1])
    case = replace(pocketed, described=replace(pocketed.described, design=one))
    assert judged(case, "cut.pockets_found")["sheet.head.pockets"].verdict == "ok"


def test_cut_pockets_found_breaks_just_over(tmp_path, judged):
    case = described_case(tmp_path, SHEET + POCKETS + 'pocket_land = "25 mm"\n')
    assert judged(case, "cut.pockets_found")["sheet.head.pockets"].verdict == "look"
