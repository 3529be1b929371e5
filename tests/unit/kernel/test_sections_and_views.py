"""Plane sections and views of plain bodies whose outlines are known."""

from math import pi

import numpy as np
import pytest
from shapely.geometry import Polygon

from tractwright.geometry.frames import frame_from_normal
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.kernel.checked import checked, cut
from tractwright.kernel.hidden_lines import view
from tractwright.kernel.primitives import extrude
from tractwright.kernel.sections import plane_section

FRAME = frame_from_normal((3, 4, 5), (1, 2, 3), (1, 0, 0))
BOX = ((-20.0, -10.0, 0.0), (20.0, -10.0, 0.0), (20.0, 10.0, 0.0), (-20.0, 10.0, 0.0))
HOLE = ((6.0, 0.0, 1.0), (-6.0, 0.0, 1.0))


def length(lines) -> float:
    return sum(float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) for line in lines)


def test_a_bored_block_cut_across_its_bore():
    block = extrude(BOX, FRAME, 30.0, holes=(HOLE,))
    cut = plane_section(block, FRAME.moved((0.0, 0.0, 12.0)), chord_mm=0.001)
    assert cut.area_mm2 == pytest.approx(800 - 36 * pi, rel=1e-9)
    sizes = sorted(Polygon(loop).area for loop in cut.loops_mm)
    assert sizes == pytest.approx([36 * pi, 800.0], rel=1e-3)


def test_a_cylinder_cut_aslant_is_an_ellipse():
    pin = extrude(outline_contour(circle(10.0)), FRAME, 40.0)
    slanting = frame_from_normal(FRAME.to_world((0, 0, 20)), FRAME.turn((0, np.sin(0.5), np.cos(0.5))), FRAME.x)
    assert plane_section(pin, slanting).area_mm2 == pytest.approx(25 * pi / np.cos(0.5), rel=1e-6)


def test_a_plane_beside_the_body_cuts_nothing():
    assert (
        plane_section(extrude(outline_contour(circle(10.0)), FRAME, 40.0), FRAME.moved((0.0, 0.0, 50.0))).loops_mm == ()
    )


def test_a_bored_block_seen_along_its_bore():
    seen = view(extrude(BOX, FRAME, 30.0, holes=(HOLE,)), FRAME, chord_mm=0.001)
    assert length(seen.visible) == pytest.approx(120 + 12 * pi, rel=1e-3)
    points = np.concatenate(seen.visible)
    assert points.min(axis=0) == pytest.approx((-20, -10), abs=1e-6)
    assert points.max(axis=0) == pytest.approx((20, 10), abs=1e-6)


def test_a_blind_bore_seen_from_the_side_is_hidden():
    bore = extrude(((0.0, -6.0, 1.0), (0.0, 6.0, 1.0)), FRAME.moved((0.0, 0.0, 18.0)), 20.0)
    drilled = cut(checked(extrude(BOX, FRAME, 30.0)), [checked(bore)], "a blind bore").solid
    side = frame_from_normal(FRAME.origin_mm, FRAME.turn((0, -1, 0)), FRAME.x)
    seen = view(drilled, side)
    assert length(seen.visible) == pytest.approx(2 * (40 + 30))
    boxes = {(*line.min(axis=0).round(6), *line.max(axis=0).round(6)) for line in seen.hidden}
    sides, bottom = (
        {(-6.0, 18.0, -6.0, 30.0), (6.0, 18.0, 6.0, 30.0)},
        {(-6.0, 18.0, 0.0, 18.0), (0.0, 18.0, 6.0, 18.0)},
    )
    assert sides | bottom <= boxes
