"""Outlines fitted to points drawn on outlines of known size: sizes are the closed form."""

import numpy as np
import pytest

from tractwright.geometry.outlines import Outline, outline_points
from tractwright.scan.shapes import distance_to_outline, fit_circle, fit_outline, rough_circle

OUTLINES = {
    "circle": Outline(kind="circle", width_mm=44, height_mm=44),
    "oval": Outline(kind="oval", width_mm=50, height_mm=32),
    "tall oval": Outline(kind="oval", width_mm=28, height_mm=52),
    "rounded_rectangle": Outline(kind="rounded_rectangle", width_mm=46, height_mm=34, corner_radius_mm=12),
    "square": Outline(kind="rounded_rectangle", width_mm=40, height_mm=40, corner_radius_mm=9),
    "sharp": Outline(kind="rounded_rectangle", width_mm=60, height_mm=30, corner_radius_mm=3),
    "d": Outline(kind="d", width_mm=48, height_mm=36, corner_radius_mm=18, lower_corner_radius_mm=6),
    "low d": Outline(kind="d", width_mm=52, height_mm=34, corner_radius_mm=20, lower_corner_radius_mm=4),
}


def measured(outline: Outline, turn: float, noise: float, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Points on the outline at depths of 1 to 9 mm: noisy, drifting 0.1 mm per mm upwards, a tenth far out."""
    chance = np.random.default_rng(seed)
    points = outline_points(outline, 1500)
    depth = chance.uniform(1.0, 9.0, len(points))
    points = points + noise * chance.standard_normal(points.shape)
    wild = chance.random(len(points)) < 0.05
    points[wild] += chance.uniform(-1.5, 1.5, (int(wild.sum()), 2))
    c, s = np.cos(turn), np.sin(turn)
    return points @ np.array([[c, s], [-s, c]]) + [120.0, -35.0] + depth[:, None] * [0.0, 0.1], depth


@pytest.mark.parametrize("name", OUTLINES)
@pytest.mark.parametrize("turn_deg", [0.0, 20.0, -40.0])
def test_kind_size_place_and_drift_come_back(name, turn_deg):
    outline = OUTLINES[name]
    points, depth = measured(outline, np.radians(turn_deg), 0.1, seed=len(name))
    found = fit_outline(points, depth, True)
    assert found.outline.kind == outline.kind
    assert found.outline.width_mm == pytest.approx(outline.width_mm, abs=0.06)
    assert found.outline.height_mm == pytest.approx(outline.height_mm, abs=0.06)
    np.testing.assert_allclose(found.centre_mm, [120, -35], atol=0.05)
    np.testing.assert_allclose(found.drift, [0, 0.1], atol=0.01)
    if outline.kind in ("rounded_rectangle", "d"):
        assert found.outline.corner_radius_mm == pytest.approx(outline.corner_radius_mm, abs=0.5)
    if name not in ("circle", "square"):
        assert np.degrees(found.turn) == pytest.approx(turn_deg, abs=0.3)


def test_a_d_upside_down_has_its_rounder_corners_below():
    points, depth = measured(OUTLINES["d"], np.pi, 0.05, seed=5)
    found = fit_outline(points, depth, False)
    assert found.outline.kind == "d"
    assert found.turn == pytest.approx(0.0, abs=0.02)
    assert found.outline.lower_corner_radius_mm == pytest.approx(18.0, abs=0.5)


def test_a_circle_half_hidden_is_still_measured():
    angle = np.random.default_rng(1).uniform(0.0, 1.2 * np.pi, 400)
    points = 4.5 * np.stack([np.cos(angle), np.sin(angle)], axis=1) + [3.0, 8.0]
    found = fit_circle(points, np.zeros(400), False)
    assert found.outline.width_mm == pytest.approx(9.0, abs=1e-3)
    assert rough_circle(points).radius_mm == pytest.approx(4.5, abs=1e-3)


def test_distance_to_an_outline_is_the_offset_it_was_moved_by():
    outline = OUTLINES["d"]
    points, depth = measured(outline, 0.0, 0.0, seed=2)
    found = fit_outline(points, depth, True)
    moved = outline_points(outline, 300, offset_mm=2.0) + np.array([120.0, -35.0])
    np.testing.assert_allclose(distance_to_outline(found, moved), 2.0, atol=0.03)
