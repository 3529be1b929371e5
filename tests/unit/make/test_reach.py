"""Reach against closed forms for plain bores and plain bends."""

from math import acos, cos, pi, tan

import numpy as np
import pytest
from scipy.optimize import brentq

from tractwright.job.shop_tables import Shop
from tractwright.make.reach import passage_reaches
from tractwright.make.samples import surface_points
from tractwright.reach.passage import ledge
from tractwright.shape.records import BuiltPiece


def shop(machine: str, kind: str, diameter: float, neck: float, stickout: float) -> Shop:
    cutter = {"name": "c", "kind": kind, "diameter": diameter, "neck": neck, "stickout": stickout}
    return Shop.model_validate({"machine": machine, "cutter": [cutter], "longest_stickout": 20})


def plate_piece(half: float = 60.0) -> BuiltPiece:
    """Only the head face, as a square ring with a hole of 60 mm: what a holder would run into."""
    outer = np.array([[-half, -half], [half, -half], [half, half], [-half, half]])
    inner = outer * 0.5
    vertices = np.column_stack([np.concatenate([outer, inner]), np.zeros(8)])
    faces = [(i, (i + 1) % 4, 4 + i) for i in range(4)] + [((i + 1) % 4, 4 + (i + 1) % 4, 4 + i) for i in range(4)]
    return BuiltPiece(
        name="head", kind="head", solid=None, mesh=(vertices, np.array(faces, dtype=np.int32)), valid=True,
        watertight=True, solids=1, volume_mm3=1.0, twin_volume_mm3=1.0, mass_kg=1.0, blends_wanted=0, blends_made=0,
        rung="", fallback="",
    )  # fmt: skip


def reachable_arc(bend_mm: float, bore_mm: float, lead_mm: float, ball_mm: float, neck_mm: float) -> float:
    """Angle of a plain bend that a straight tool reaches, plane geometry: neck tangent to the inner wall, leaving by the
    outer wall; the head reaches round by its own radius."""
    inner, outer = bend_mm - bore_mm, bend_mm + bore_mm
    beta = acos((inner + neck_mm) / (inner + ball_mm))
    g = brentq(lambda a: (inner + neck_mm) / cos(a) + lead_mm * tan(a) - (outer - neck_mm), 0.0, 1.4)
    return g + beta


def test_a_straight_bore_needs_its_depth(bend):
    """In a nearly straight bore narrower than the holder the stick-out is the depth, the ball's radius and 2 mm."""
    design = bend(4000.0, 24.0, 40.0, turn_deg=1.0)
    found = passage_reaches(shop("3-axis", "ball", 12, 10, 400), design, plate_piece())[0]
    s = np.array(found.stations_mm)
    wanted = s + 6.0 + 2.0
    assert np.abs(np.array(found.stickout_from_port_mm) - wanted).max() < 2.0


@pytest.mark.parametrize(("ball", "neck"), [(20.0, 12.0), (16.0, 10.0)])
def test_a_plain_bend_is_reached_as_far_as_plane_geometry_says(bend, ball: float, neck: float):
    design = bend(90.0, 40.0, 20.0, turn_deg=90.0)
    # a tool may tilt in the plane of the bend: try all tilts by the tilting table
    found = passage_reaches(shop("tilting table", "undercutting", ball, neck, 400), design, plate_piece())[0]
    arc = reachable_arc(90.0, 20.0, 20.0, ball / 2, neck / 2)
    expected = 20.0 + arc * 90.0
    # The formula looks only at the inner wall; every clock angle must be reached here, and the tilt goes in 8 deg steps.
    assert found.reach_from_port_end_mm <= expected + 4.0
    assert found.reach_from_port_end_mm >= 0.55 * expected


def test_a_bend_too_deep_for_the_shop_must_be_split(bend):
    design = bend(60.0, 36.0, 15.0, turn_deg=150.0)
    found = passage_reaches(shop("3-axis", "ball", 20, 19, 120), design, plate_piece())[0]
    assert found.verdict == "must split"
    assert found.meeting_line_mm is None
    assert 0.0 < found.split_at_mm < sum(found.stations_mm[-1:])


@pytest.mark.parametrize("holder", [{}, {"holder": 16}])
def test_a_holder_that_goes_into_the_bore_needs_no_depth(bend, holder: dict):
    """A ball of 20 mm in a bore of 24 stands 2 mm off its middle: a holder of 16 mm follows it in (2 + 8 of 12), the shop's of
    40 mm stays outside, whichever of the two is told by the cutter itself.
    """
    design = bend(4000.0, 24.0, 40.0, turn_deg=1.0)
    tool = {"name": "c", "kind": "ball", "diameter": 20, "neck": 15, "stickout": 400} | holder
    asked = Shop.model_validate({"machine": "3-axis", "cutter": [tool], "longest_stickout": 20, "holder": 40})
    found = passage_reaches(asked, design, plate_piece())[0]
    s, need = np.array(found.stations_mm), np.array(found.stickout_from_port_mm)
    wanted = np.full(len(s), 12.0) if holder else s + 12.0
    assert np.abs(need - wanted).max() < 2.5


def test_a_place_to_part_is_told_with_what_both_halves_then_leave(bend):
    """A plain bend of 75 deg, longer than one cutter reaches from both ends: parted in the middle both halves are as one bend
    of half its turn, which the same cutter does reach.
    """
    design = bend(90.0, 36.0, 15.0, turn_deg=75.0)
    tool = shop("tilting table", "undercutting", 20, 12, 60)
    found = passage_reaches(tool, design, plate_piece())[0]
    assert found.verdict == "must split"
    assert found.left_if_split_mm == 0.0
    half = (found.stations_mm[0] + found.stations_mm[-1]) / 2
    assert found.split_at_mm == pytest.approx(half, abs=15.0)


def test_surface_points_spread_by_area():
    piece = plate_piece()
    points = surface_points(piece.mesh, 4000)
    assert len(points) == 4000
    assert np.abs(points[:, 2]).max() == 0.0
    assert np.abs(points.mean(axis=0)).max() < 1.0


def test_ledge_is_the_cantilever_and_the_putting_back():
    """F L^3 / 3EI for a 12 mm neck at 60 mm, E 600 GPa, 20 N: 4.72e-3 mm (handbook beam formula), plus 0.02."""
    cutter = shop("3-axis", "ball", 12, 12, 100).cutter[0]
    assert ledge(cutter, 60.0) == pytest.approx(20 * 60**3 / (3 * 600e3 * pi * 12**4 / 64) + 0.02)
