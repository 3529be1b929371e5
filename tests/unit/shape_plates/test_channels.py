"""Channels as solids: what their cutters take in closed form, and the walls they leave measured on the solid."""

from dataclasses import replace
from math import pi, radians, tan

import numpy as np
import pytest
import shapely
from check_cases import SHEET, described_case
from scipy.integrate import quad

from tractwright.check.channel_facts import least_metal
from tractwright.design.channel_space import drillings, flange_of, half_mm, opening, outside_mm
from tractwright.geometry.contours import contour_area
from tractwright.geometry.frames import Frame
from tractwright.kernel.checked import cut
from tractwright.kernel.measure import is_valid, volume
from tractwright.kernel.mesh import is_watertight, tessellate
from tractwright.kernel.sections import plane_section
from tractwright.shape.parts.bodies import prism
from tractwright.shape.parts.channels import channel_cutters
from tractwright.shape.parts.holes import screw_holes
from tractwright.standards.threads import thread

STRAIGHT = (
    '[[channel]]\nname = "c"\nat = [41, -60]\nshape = "oval"\nwidth = "18 mm"\nheight = "12 mm"\nthread = "M12x1.5"\n'
)
EDGE = '[[channel]]\nname = "c"\nat = [28, 16]\nwidth = "8 mm"\nleaves = "edge"\nthread = "M8x1"\n[head]\nflange = "16 mm"\n'
BENT = (
    '[[channel]]\nname = "c"\nat = [0, -33]\nwidth = "9 mm"\nport_at = [0, -64]\nthread = "M12x1.5"\n'
    '[head]\nflange = "16 mm"\n'
)
SQUARE = ((-150.0, -150.0, 0.0), (150.0, -150.0, 0.0), (150.0, 150.0, 0.0), (-150.0, 150.0, 0.0))


def _block(design, contour, high=0.0):
    """A plate on a contour, as thick as the head flange and so much higher, with the channels cut."""
    (channel,) = design.channels
    flange = flange_of(channel, design)
    whole = prism(contour, flange.frame, flange.thickness_mm + high)
    body = whole
    for step, tools in channel_cutters(flange.piece, design):
        body = cut(body, tools, step)
    assert is_valid(body.solid)
    assert is_watertight(*tessellate(body.solid))
    return volume(whole.solid) - volume(body.solid), body.solid


def _chamfered(bore, outside, deep):
    """A cylinder with a 45 degree chamfer at its mouth, 0.3 mm wider than the thread."""
    wide = outside / 2 + 0.3 - bore / 2
    return pi / 4 * bore**2 * deep + pi * (bore / 2 * wide**2 + wide**3 / 3)


def test_a_straight_one(tmp_path):
    """The opening's prism and, from its floor to the top of the post, the thread's drill."""
    design = described_case(tmp_path, SHEET + STRAIGHT).design
    (channel,) = design.channels
    flange = flange_of(channel, design)
    taken, _ = _block(design, SQUARE, channel.height_mm)
    oval = 6.0 * 12.0 + pi * 36.0
    drill = thread("M12x1.5").tap_drill_mm
    deep = flange.thickness_mm + channel.height_mm - channel.recess_mm
    assert channel.bore_mm == drill
    assert contour_area(opening(channel)) == pytest.approx(oval)
    assert taken == pytest.approx(oval * channel.recess_mm + _chamfered(drill, 12.0, deep), rel=1e-5)


def _into_opening(bore, wide):
    """What a cylinder across a round opening, ending on its axis, shares with it: half of both cylinders' common body."""
    small, large = bore / 2, wide / 2
    return quad(lambda y: 2 * np.sqrt(small**2 - y**2) * np.sqrt(large**2 - y**2), -small, small)[0]


def test_one_in_the_edge(tmp_path):
    """The flange ends square where the flat is; drilling from there to the opening's middle, less what they share.

    The drill's point ends inside the opening.
    """
    design = described_case(tmp_path, SHEET + EDGE).design
    (channel,) = design.channels
    _, end = 28.0, 16.0 + channel.edge_mm
    contour = ((-150.0, -150.0, 0.0), (150.0, -150.0, 0.0), (150.0, end, 0.0), (-150.0, end, 0.0))
    taken, _ = _block(design, contour)
    bore, drill = channel.bore_mm, thread("M8x1").tap_drill_mm
    full, runout = channel.thread_mm, 3.0 * 1.0
    wider = pi / 4 * (drill**2 - bore**2) * (full + runout) if bore < drill else 0.0
    hole = _chamfered(drill, 8.0, 0.0) + wider + pi / 4 * bore**2 * channel.edge_mm
    assert bore / 2 / tan(radians(59.0)) < 4.0
    expected = pi / 4 * 64.0 * channel.recess_mm + hole - _into_opening(bore, 8.0)
    assert taken == pytest.approx(expected, rel=1e-5)


def test_a_bent_one(tmp_path):
    """Two drillings that meet: the fitting's a little narrower, so that no edge runs along another's."""
    design = described_case(tmp_path, SHEET + BENT).design
    (channel,) = design.channels
    flange = flange_of(channel, design)
    out, along = drillings(channel, design)
    end = -33.0 - channel.edge_mm
    contour = ((-150.0, end, 0.0), (150.0, end, 0.0), (150.0, 150.0, 0.0), (-150.0, 150.0, 0.0))
    without = replace(channel, place="edge", thread=channel.plug, thread_mm=along.thread_mm, plug="")
    whole, solid = _block(design, contour, channel.height_mm)
    alone, _ = _block(replace(design, channels=(without,)), contour, channel.height_mm)
    drill = thread("M12x1.5").tap_drill_mm
    runout = out.thread_mm + 3 * 1.5
    deep = flange.thickness_mm + channel.height_mm - channel.level_mm
    hole = _chamfered(drill, 12.0, runout) + pi / 4 * out.hole_mm**2 * (deep - runout)
    small, large = out.hole_mm / 2, along.hole_mm / 2
    shared = _into_opening(2 * small, 2 * large)
    assert whole - alone == pytest.approx(hole - shared, rel=1e-4)
    level = plane_section(solid, flange.frame.moved((0.0, 0.0, channel.level_mm)))
    assert level.area_mm2 > 0.0


def test_the_flat_takes_the_round_end(tmp_path):
    """The half disc on the end of a bar goes, through the whole flange; the outline's bar may be some tenths wider."""
    design = described_case(tmp_path, SHEET + EDGE).design
    (channel,) = design.channels
    flange = flange_of(channel, design)
    _, solid = _block(design, flange.contour)
    end, half = 16.0 + channel.edge_mm, half_mm(channel.thread)
    for height in (1.0, 15.0):
        section = plane_section(solid, flange.frame.moved((0.0, 0.0, height)))
        metal = max((shapely.Polygon(loop) for loop in section.loops_mm), key=lambda region: region.area)
        strip = shapely.box(28.0 - half - 7.9, 0.0, 28.0 + half + 7.9, 200.0)
        assert metal.intersection(strip).bounds[3] == pytest.approx(end, abs=1e-6)
        under = shapely.LineString([(28.0 - half, end - 0.05), (28.0 + half, end - 0.05)])
        assert metal.intersection(under).length == pytest.approx(2 * half, abs=0.1)


def test_walls_on_the_solid_are_the_rules(tmp_path):
    """In a section along the drilling: from its bore to a screw's hole, on the solid and by the rule."""
    case = described_case(tmp_path, SHEET + EDGE)
    (channel,) = case.design.channels
    near = replace(channel, at_mm=(30.5, 16.0), thread_mm=6.0)
    design = replace(case.design, channels=(near,))
    told = least_metal(replace(case, described=replace(case.described, design=design)), near)
    flange = flange_of(near, design)
    body = prism(SQUARE, flange.frame, flange.thickness_mm)
    for step, tools in (*channel_cutters(flange.piece, design), ("holes", screw_holes(flange.piece, design))):
        body = cut(body, tools, step)
    loops = plane_section(body.solid, flange.frame.moved((0.0, 0.0, near.level_mm)), 0.002).loops_mm
    holes = [shapely.LinearRing(loop) for loop in loops]
    channel_itself = min(holes, key=lambda ring: ring.distance(shapely.Point(30.5, 26.0)))
    others = shapely.MultiLineString([ring for ring in holes if ring is not channel_itself])
    assert told.to.startswith("screw.")
    assert channel_itself.distance(others) == pytest.approx(told.mm, abs=0.05)


def test_metal_over_and_under_on_the_solid(tmp_path):
    """Across the drilling: its bore to both faces, against a rule that asks at the thread's outside, 1 mm wider."""
    case = described_case(tmp_path, SHEET + EDGE)
    (channel,) = case.design.channels
    low = replace(channel, level_mm=6.5, recess_mm=10.0)
    design = replace(case.design, channels=(low,))
    told = least_metal(replace(case, described=replace(case.described, design=design)), low)
    _, solid = _block(design, SQUARE)
    plane = Frame(origin_mm=(0.0, 24.0, 0.0), x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0), z=(0.0, -1.0, 0.0))
    bore = min(plane_section(solid, plane, 0.002).loops_mm, key=lambda loop: np.ptp(loop[:, 0]))
    wider = (outside_mm(channel.thread) - channel.bore_mm) / 2.0
    assert bore[:, 1].min() - wider == pytest.approx(told.mm, abs=0.05)
