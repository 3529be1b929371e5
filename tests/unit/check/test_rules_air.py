"""Rules that bite at the air: each holds at its limit and breaks just over it."""

from dataclasses import replace
from math import pi, radians, tan

import numpy as np
import pytest

from tractwright.check.measures import bends
from tractwright.check.rules import air_bend_radius


def _cone(case, included_deg):
    """The first runner's areas those of a cone. Independent: the cone's own geometry."""
    model = case.tubes["r1"]
    diameter = 36.0 + 2.0 * tan(radians(included_deg) / 2.0) * model.s_mm
    return replace(case, tubes={**case.tubes, "r1": replace(model, area_mm2=pi / 4 * diameter**2)})


def test_air_area_change_holds_at_its_limit(sound, verdict):
    assert verdict(_cone(sound, 7.0), "air.area_change", "runner.r1") == "ok"


def test_air_area_change_breaks_just_over(sound, verdict):
    assert verdict(_cone(sound, 7.01), "air.area_change", "runner.r1") == "look"


def _bent(monkeypatch: pytest.MonkeyPatch, share: float) -> None:
    monkeypatch.setattr(air_bend_radius, "bends", lambda model: (None, np.full(len(model.s_mm), share)))


def test_air_bend_radius_holds_at_its_limit(sound, verdict, monkeypatch):
    _bent(monkeypatch, 1.3 * 0.985)
    assert verdict(sound, "air.bend_radius", "runner.r1") == "ok"


def test_air_bend_radius_breaks_just_over(sound, verdict, monkeypatch):
    _bent(monkeypatch, 1.3 * 0.985 - 0.001)
    assert verdict(sound, "air.bend_radius", "runner.r1") == "stop"


def test_bends_of_a_circular_arc(sound):
    """A tube laid round a circle of 80 mm with a skin of 23 mm half size: radius 80, share 80/23 (exact geometry)."""
    angle = np.linspace(0.0, pi / 2, 65)
    centre = 80.0 * np.column_stack([np.zeros(65), 1.0 - np.cos(angle), np.sin(angle)])
    inwards = np.column_stack([np.zeros(65), np.cos(angle), -np.sin(angle)])
    outer = np.stack([centre + 23.0 * inwards, centre - 23.0 * inwards], axis=1)
    tangent = np.column_stack([np.zeros(65), np.sin(angle), np.cos(angle)])
    model = replace(sound.tubes["r1"], s_mm=80.0 * angle, centre_mm=centre, tangent=tangent, outer_mm=outer)
    radius, share = bends(model)
    assert radius == pytest.approx(80.0, rel=2e-3)
    assert share == pytest.approx(80.0 / 23.0, rel=2e-3)


def test_air_length_holds_at_its_limit(sound, judged, having):
    wanted = sound.design.runners[0].length_mm / 1.02
    finding = judged(having(sound, {"runner.r2.length_wanted_mm": wanted}), "air.length")["runner.r2"]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(0.02)


def test_air_length_breaks_just_over(sound, verdict, having):
    wanted = sound.design.runners[0].length_mm / 1.0201
    assert verdict(having(sound, {"runner.r2.length_wanted_mm": wanted}), "air.length", "runner.r2") == "look"


def _spread(sound, having, more):
    """Lengths l, l, l (1 + x) spread x l over a mean of l (1 + x/3)."""
    x = more / (1.0 - more / 3.0)
    return having(sound, {"runner.r3.length_mm": sound.design.runners[0].length_mm * (1.0 + x)})


def test_air_length_spread_holds_at_its_limit(sound, verdict, having):
    assert verdict(_spread(sound, having, 0.02), "air.length_spread", "plenum.plenum") == "ok"


def test_air_length_spread_breaks_just_over(sound, verdict, having):
    assert verdict(_spread(sound, having, 0.0201), "air.length_spread", "plenum.plenum") == "look"


def _lip(sound, judged, having, left):
    """The second mouth's rounding grown until so much flat floor is left."""
    now = judged(sound, "air.lip_room")["runner.r2"].measured
    lip = sound.design.runners[1].mouth.lip_radius_mm + now - left
    return having(sound, {"runner.r2.mouth.lip_radius_mm": lip})


def test_air_lip_room_holds_at_its_limit(sound, judged, verdict, having):
    assert verdict(_lip(sound, judged, having, 0.4), "air.lip_room", "runner.r2") == "ok"


def test_air_lip_room_breaks_just_over(sound, judged, having):
    finding = judged(_lip(sound, judged, having, 0.39), "air.lip_room")["runner.r2"]
    assert finding.verdict == "stop"
    mended = having(sound, {finding.fix.path: finding.fix.value})
    assert judged(mended, "air.lip_room")["runner.r2"].verdict == "ok"


def test_lip_room_to_the_neighbour_is_half_the_metal_between(sound, judged, having):
    """Mouths 82 mm apart with bores of 38 mm leave 22 mm to each: a lip of 21 leaves 1 mm where the walls are far off."""
    wide = having(
        sound,
        {"plenum.plenum.height_mm": 300.0, "plenum.plenum.width_mm": 600.0, "runner.r2.mouth.lip_radius_mm": 21.0},
    )
    assert judged(wide, "air.lip_room")["runner.r2"].measured == pytest.approx(1.0)
