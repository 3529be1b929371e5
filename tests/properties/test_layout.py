"""Layouts of random jobs, courses made up: what must hold of every flange, screw, seal and dowel, measured with shapely."""

import numpy as np
import pytest
from hypothesis import given, settings
from random_layouts import Laid, layouts
from shapely import LineString, Point, Polygon

from tractwright.design.records import Flange, Screw
from tractwright.geometry.contours import Contour, contour_area, polyline
from tractwright.geometry.frames import Frame
from tractwright.geometry.offsets import is_smooth
from tractwright.geometry.outlines import Outline, outline_contour
from tractwright.route.layout.chamber import ROOT_MM
from tractwright.route.layout.screws import head_radius
from tractwright.standards.keys import hex_key
from tractwright.standards.screws import screw_head, stock_lengths, washer
from tractwright.standards.threads import thread

LAND_MM = 1.5
METAL_MM = 2.0
"""What checks ask for between holes, grooves, edges and passages: common practice."""


def region(contour: Contour) -> Polygon:
    return Polygon(polyline(contour, 0.004))


def ring(contour: Contour) -> LineString:
    points = polyline(contour, 0.004)
    return LineString(np.concatenate([points, points[:1]]))


def inside_by(area: Polygon, place: Point) -> float:
    gap = area.exterior.distance(place)
    return gap if area.contains(place) else -gap


def place_in(frame: Frame, world: tuple[float, float, float]) -> Point:
    return Point(frame.to_local(world)[:2])


@given(layouts())
@settings(max_examples=15, deadline=None)
def test_flanges_are_neat_and_hold_their_screws(laid):
    for flange in laid.design.flanges:
        area = region(flange.contour)
        assert area.is_valid
        assert contour_area(flange.contour) == pytest.approx(area.area, rel=1e-4)
        assert is_smooth(flange.contour)
        for screw in laid.screws(flange.joint):
            least = 1.5 * thread(screw.thread).major_mm
            assert inside_by(area, place_in(flange.frame, screw.seat_mm)) >= least - 0.01, (flange.name, screw.name)


@given(layouts())
@settings(max_examples=15, deadline=None)
def test_ports_and_their_gasket_lie_on_the_head_flange(laid):
    area = region(laid.flange("head").contour)
    gasket = next(seal for seal in laid.design.seals if seal.joint == "head")
    sealed = region(gasket.path)
    assert area.buffer(0.01).contains(sealed)
    skins = laid.sheet.runner.wall_mm + laid.sheet.runner.root_blend_mm
    for port in laid.pattern.ports:
        opening = Polygon(polyline(outline_contour(port.outline), 0.004) + np.array(port.at_mm))
        assert sealed.contains(opening)
        assert area.buffer(0.02).contains(opening.buffer(skins))


@given(layouts())
@settings(max_examples=15, deadline=None)
def test_grooves_keep_their_lands(laid):
    """Round all mouths, inside both flanges, with metal to edges, bores, screw holes and dowels; screws outside."""
    for seal in (seal for seal in laid.design.seals if seal.kind == "cord"):
        frame, groove = laid.joint(seal.joint).frame, ring(seal.path)
        half = seal.groove_width_mm / 2
        assert region(seal.path).is_valid
        for flange in (flange for flange in laid.design.flanges if flange.joint == seal.joint):
            edge = Polygon(frame.to_local(flange.frame.to_world(polyline(flange.contour, 0.004)))[:, :2])
            assert edge.contains(groove)
            assert edge.exterior.distance(groove) - half >= LAND_MM - 0.01, (seal.name, flange.name)
        for screw in laid.screws(seal.joint):
            place = place_in(frame, screw.seat_mm)
            assert not region(seal.path).contains(place)
            assert groove.distance(place) - half - screw.clearance_mm / 2 >= LAND_MM, (seal.name, screw.name)
        for dowel in (dowel for dowel in laid.design.dowels if dowel.joint == seal.joint):
            assert groove.distance(place_in(frame, dowel.at_mm)) - half - dowel.diameter_mm / 2 >= METAL_MM
    mouths = region(next(seal.path for seal in laid.design.seals if seal.name == "runner"))
    for runner in laid.design.runners:
        assert inside_by(mouths, Point(runner.mouth.at_mm)) - runner.mouth.bore_mm / 2 >= LAND_MM


@given(layouts())
@settings(max_examples=15, deadline=None)
def test_rim_screws_find_room_beside_walls_columns_and_pads(laid):
    """Heads with washers keep the root radius off everything that stands on the floor, and a key comes straight down."""
    plenum = laid.design.plena[0]
    standing = [region(box(plenum.width_mm, plenum.height_mm, plenum.corner_radius_mm, plenum.wall_mm))]
    columns = {screw.name: place_in(plenum.frame, screw.seat_mm) for screw in laid.screws("cover")}
    standing += [
        place.buffer(screw.post_mm / 2) for screw, place in zip(laid.screws("cover"), columns.values(), strict=True)
    ]
    standing += [pad_of(laid, laid.flange(low.name)) for throttle, low, _ in laid.necks() if throttle.place != "top"]
    for screw in laid.screws("runner"):
        place = place_in(plenum.frame, screw.seat_mm)
        for body in standing:
            assert body.distance(place) - head_radius(screw.thread) >= ROOT_MM - 0.01, screw.name
    floor = region(laid.flange("floor").contour)
    for body in standing:
        assert floor.buffer(0.02).contains(body.buffer(ROOT_MM))


@given(layouts())
@settings(max_examples=15, deadline=None)
def test_holes_leave_metal_between_them(laid):
    """Every two screw holes between our pieces, and every one and the throttle's bore, sampled along their axes."""
    joints = ("runner", "cover", "neck", "neck_2")
    holes = [hole for joint in joints for screw in laid.screws(joint) for hole in holes_of(screw)]
    for i, (name, points, radius) in enumerate(holes):
        for other, others, its in holes[i + 1 :]:
            if other != name and np.linalg.norm(points[0] - others[0]) < 80.0:
                gaps = np.linalg.norm(points[:, None, :] - others[None, :, :], axis=2)
                assert gaps.min() - radius - its >= 1.8, (name, other)
    for throttle in laid.design.throttles:
        out = np.array(throttle.frame.z)
        start = -throttle.neck_mm - laid.chamber.pad_mm
        for name, points, radius in holes:
            along = (points - np.array(throttle.frame.origin_mm)) @ out
            off = np.linalg.norm(points - np.array(throttle.frame.origin_mm) - along[:, None] * out, axis=1)
            beside = (along < 0.0) & (along > start)
            assert np.all(off[beside] - radius - throttle.bore_mm / 2 >= METAL_MM - 0.1), name


@given(layouts())
@settings(max_examples=15, deadline=None)
def test_the_necks_stand_free(laid):
    """Their flanges clear the floor's rim and the cover; on the cover they clear the cover's screws; keys pass body flanges."""
    plenum = laid.design.plena[0]
    assert tuple(throttle.place for throttle in laid.design.throttles) == laid.sheet.throttle.walls
    for throttle, low, high in laid.necks():
        neck, body = laid.flange(low.name), laid.flange(high.name)
        reach = plenum.frame.to_local(neck.frame.to_world(polyline(neck.contour, 0.01)))
        if throttle.place == "top":
            ground = Polygon(reach[:, :2])
            assert region(laid.flange("cover").contour).contains(ground.buffer(ROOT_MM - 0.1))
            for screw in laid.screws("cover"):
                assert ground.distance(place_in(plenum.frame, screw.seat_mm)) - head_radius(screw.thread) >= ROOT_MM
            assert throttle.bore_mm <= plenum.height_mm
        else:
            assert reach[:, 2].min() >= plenum.floor_mm + ROOT_MM
            assert reach[:, 2].max() <= plenum.floor_mm + plenum.depth_mm
        outer = Polygon(throttle.frame.to_local(body.frame.to_world(polyline(body.contour, 0.01)))[:, :2])
        for screw in laid.screws(low.name):
            key = hex_key(screw_head("cap", screw.thread).key_mm).across_corners_mm / 2
            assert outer.distance(place_in(throttle.frame, screw.seat_mm)) - key >= 0.5


@given(layouts())
@settings(max_examples=15, deadline=None)
def test_screws_are_stock_and_neither_bottom_nor_strip(laid):
    """ISO 4762 lengths; a blind tip keeps a pitch of thread; a diameter of engagement at least in our own plate."""
    for screw in laid.design.screws:
        held, gasket = thread(screw.thread), laid.sheet.head.gasket_mm if screw.joint == "head" else 0.0
        assert screw.length_mm in stock_lengths("cap", screw.thread)
        tip = screw.length_mm - screw.grip_mm - washer(screw.thread).thickness_mm - gasket
        assert tip <= screw.tapped_depth_mm + (3.0 if screw.joint == "runner" else -1.0) * held.pitch_mm + 1e-6
        assert screw.engagement_mm == pytest.approx(min(tip, screw.tapped_depth_mm))
        if screw.joint != "head":
            assert screw.engagement_mm >= held.major_mm


@given(layouts())
@settings(max_examples=15, deadline=None)
def test_a_plenum_goes_on_one_way_only_and_its_volume_is_exact(laid):
    plenum = laid.design.plena[0]
    pins = np.array([plenum.frame.to_local(dowel.at_mm)[:2] for dowel in laid.design.dowels])
    assert len(pins) == 2
    turned_round = np.linalg.norm(pins[:, None, :] + pins[None, :, :], axis=2).min(axis=1)
    assert turned_round.max() > 5.0
    assert np.linalg.norm(pins[0] - pins[1]) > 0.5 * plenum.width_mm
    inside = region(box(plenum.width_mm, plenum.height_mm, plenum.corner_radius_mm, 0.0))
    assert plenum.volume_l * 1e6 == pytest.approx(inside.area * plenum.depth_mm, rel=1e-4)


@given(layouts())
@settings(max_examples=15, deadline=None)
def test_screws_are_alike_on_both_sides_of_the_middle(laid):
    """Throttles in ends leave the long sides alike, those on sides or the cover leave the ends alike."""
    plenum, walls = laid.design.plena[0], {wall.split("_")[0] for wall in laid.sheet.throttle.walls}
    flips = [([1.0, -1.0], "side" not in walls), ([-1.0, 1.0], "end" not in walls)]
    for flip in (np.array(flip) for flip, alike in flips if alike):
        for joint in ("runner", "cover"):
            places = np.array([plenum.frame.to_local(screw.seat_mm)[:2] for screw in laid.screws(joint)])
            apart = np.linalg.norm(places[:, None, :] - (places * flip)[None, :, :], axis=2)
            assert apart.min(axis=1).max() < 1e-6


def box(width: float, height: float, corner: float, wall: float) -> Contour:
    outline = Outline(
        kind="rounded_rectangle", width_mm=width + 2 * wall, height_mm=height + 2 * wall, corner_radius_mm=corner + wall
    )
    return outline_contour(outline)


def pad_of(laid: Laid, neck: Flange) -> Polygon:
    """The pad under a neck's flange: from mid wall to the joint, 3 mm wider than the flange on either side."""
    plenum = laid.design.plena[0]
    reach = plenum.frame.to_local(neck.frame.to_world(polyline(neck.contour, 0.01)))[:, :2]
    out = np.round(plenum.frame.matrix() @ np.array(neck.frame.z))[:2]
    along = np.abs(out[::-1])
    face = float(plenum.frame.to_local(neck.frame.origin_mm)[:2] @ out)
    inner = float(np.abs(out) @ np.array([plenum.width_mm, plenum.height_mm])) / 2 + plenum.wall_mm / 2
    half = float(np.abs(reach @ along).max()) + 3.0
    corners = [out * a + along * b for a, b in ((inner, -half), (face, -half), (face, half), (inner, half))]
    return Polygon(corners)


def holes_of(screw: Screw) -> list[tuple[str, np.ndarray, float]]:
    seat, way = np.array(screw.seat_mm), np.array(screw.direction)
    found = []
    for start, end, radius in (
        (0.0, screw.grip_mm, screw.clearance_mm / 2),
        (screw.grip_mm, screw.grip_mm + screw.drill_depth_mm, thread(screw.thread).major_mm / 2),
    ):
        found.append((screw.name, seat + np.linspace(start, end, 40)[:, None] * way, radius))
    return found
