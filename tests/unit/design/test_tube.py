"""The fast model: areas by the schedule, walls by the schedule, volumes by Pappus."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from tractwright.design.records import Bank, Design, Mouth, Plenum, Port, Runner
from tractwright.design.tube import centreline, tube
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import Outline, circle


def straight_design(outline: Outline, mouth_area: float, turn_deg: float = 0.0) -> Design:
    """One straight runner of 200 mm along z."""
    poles = tuple((0.0, 0.0, 20.0 + 160.0 * k) for k in (0, 1 / 16, 1 / 6, 0.38, 0.62, 5 / 6, 15 / 16, 1))
    plenum = Plenum(
        name="plenum", bank="a", frame=Frame(origin_mm=(0, 0, 190)), centre_mm=(0, 0), width_mm=80, height_mm=80,
        corner_radius_mm=10, depth_mm=60, floor_mm=10, wall_mm=5, volume_l=0.38,
    )  # fmt: skip
    port_area = float(np.pi / 4 * outline.width_mm**2)
    runner = Runner(
        name="r1", bank="a", ports=("p1",), mouth=Mouth(plenum="plenum", at_mm=(0, 0), bore_mm=44, lip_radius_mm=8),
        poles_mm=poles, port_lead_mm=20, mouth_lead_mm=20, length_mm=200, length_wanted_mm=200,
        area_mm2=((0.0, port_area), (1.0, mouth_area)), wall_mm=((0.0, 4.0), (1.0, 4.0)), port_blend_mm=6,
        mouth_blend_mm=6,
    )  # fmt: skip
    port = Port(name="p1", bank="a", cylinders=(1,), at_mm=(0, 0), outline=outline, turn_deg=turn_deg, axis=(0, 0, 1))
    return Design(
        name="t", banks=(Bank(name="a", frame=Frame()),), ports=(port,), head_holes=(), runners=(runner,),
        plena=(plenum,), throttles=(), pieces=(), flanges=(), joints=(), screws=(), dowels=(), seals=(),
    )  # fmt: skip


def polygon_area(points: np.ndarray) -> np.ndarray:
    rolled = np.roll(points, -1, axis=1)
    return 0.5 * np.linalg.norm(np.cross(points, rolled).sum(axis=1), axis=1)


def test_area_follows_the_schedule_and_the_wall_stands_off():
    design = straight_design(circle(40.0), pi * 484)
    model = tube(design.runners[0], design, stations=9, angles=96)
    expected = np.linspace(pi * 400, pi * 484, 9)
    chord_loss = 96 / (2 * pi) * np.sin(2 * pi / 96)
    np.testing.assert_allclose(polygon_area(model.inner_mm), expected * chord_loss, rtol=1e-6)
    np.testing.assert_allclose(np.linalg.norm(model.outer_mm - model.inner_mm, axis=2), 4.0, rtol=1e-9)
    np.testing.assert_allclose(model.area_mm2, expected, rtol=1e-9)


def test_the_section_at_the_port_is_the_ports_outline_turned():
    outline = Outline(kind="oval", width_mm=50, height_mm=30)
    design = straight_design(outline, pi * 484, turn_deg=30.0)
    runner = design.runners[0]
    area = pi * 225 + 20 * 30
    runner = replace(runner, area_mm2=((0.0, area), (1.0, area)))
    model = tube(runner, replace(design, runners=(runner,)), stations=5, angles=200)
    along = np.array([np.cos(np.radians(30)), np.sin(np.radians(30)), 0.0])
    assert (model.inner_mm[0] @ along).max() == pytest.approx(25.0, rel=1e-3)
    across = np.array([-along[1], along[0], 0.0])
    assert (model.inner_mm[0] @ across).max() == pytest.approx(15.0, rel=1e-3)


def test_a_quarter_bend_has_the_volume_of_pappus():
    """Torus quarter: area x length of the centreline (Pappus)."""
    radius = 100.0
    angle = np.linspace(0, pi / 2, 400)
    arc = np.stack([np.zeros(400), radius * (1 - np.cos(angle)), radius * np.sin(angle)], axis=1)
    from tractwright.geometry.curves import course_basis

    _, basis, *_ = course_basis(400)
    poles, *_ = np.linalg.lstsq(basis, arc, rcond=None)
    base = straight_design(circle(40.0), pi * 400)
    plenum = replace(base.plena[0], frame=Frame(origin_mm=(0, radius, radius), x=(1, 0, 0), y=(0, 0, -1), z=(0, 1, 0)))
    runner = replace(base.runners[0], poles_mm=tuple(map(tuple, poles)), port_lead_mm=0.0, mouth_lead_mm=0.0)
    design = replace(base, runners=(runner,), plena=(plenum,))
    assert centreline(runner, design).length_mm == pytest.approx(radius * pi / 2, rel=2e-4)
    model = tube(runner, design, stations=181, angles=96)
    outward = model.inner_mm - model.centre_mm[:, None, :]
    assert np.linalg.norm(outward, axis=2) == pytest.approx(20.0, rel=1e-3)
    assert model.curvature_per_mm[20:-20] == pytest.approx(1 / radius, rel=0.02)
