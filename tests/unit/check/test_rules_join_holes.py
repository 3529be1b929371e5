"""Rules on the holes, seats and lengths of screws: each holds at its limit and breaks just over it."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.check.bodies import GROUP, Body
from tractwright.check.screw_distances import envelope

HEAD, COVER, NECK = "head.s3", "cover.s1", "neck.s1"


def _screw(case, name):
    return next(screw for screw in case.design.screws if screw.name == name)


def test_join_stock_length_holds_at_its_limit(sound, judged):
    assert {finding.verdict for finding in judged(sound, "join.stock_length").values()} == {"ok"}


def test_join_stock_length_breaks_just_over(sound, judged, having):
    finding = judged(having(sound, {f"screw.{COVER}.length_mm": 21.0}), "join.stock_length")[f"screw.{COVER}"]
    assert finding.verdict == "stop"
    assert finding.fix.value == 20.0  # ISO 4762: 16, 20, 25


@pytest.mark.parametrize(("rule", "field"), [("join.clearance", "clearance_mm")])
def test_join_clearance_holds_at_its_limit(sound, verdict, having, rule, field):
    """M6 through the fine hole of ISO 273, 6.4 mm."""
    assert verdict(having(sound, {f"screw.{COVER}.{field}": 6.4}), rule, f"screw.{COVER}") == "ok"


@pytest.mark.parametrize(("hole", "expected"), [(6.39, "look"), (6.1, "look"), (6.09, "stop"), (5.0, "stop")])
def test_join_clearance_breaks_just_over(sound, judged, having, hole, expected):
    finding = judged(having(sound, {f"screw.{COVER}.clearance_mm": hole}), "join.clearance")[f"screw.{COVER}"]
    assert finding.verdict == expected
    assert finding.fix.value == 6.6


def _drilled(case, having, more_mm):
    return having(case, {f"screw.{COVER}.drill_depth_mm": _screw(case, COVER).tapped_depth_mm + more_mm})


def test_join_drill_holds_at_its_limit(sound, verdict, having):
    """2.5 pitches of M6: 2.5 mm."""
    assert verdict(_drilled(sound, having, 2.5), "join.drill", f"screw.{COVER}") == "ok"


def test_join_drill_breaks_just_over(sound, judged, having):
    finding = judged(_drilled(sound, having, 2.49), "join.drill")[f"screw.{COVER}"]
    assert finding.verdict == "stop"
    assert finding.fix.value == 17.0  # a thread of 12 mm, five pitches more


def test_join_adds_up_holds_at_its_limit(sound, verdict, having):
    grip = _screw(sound, HEAD).grip_mm
    assert verdict(having(sound, {f"screw.{HEAD}.grip_mm": grip + 0.05}), "join.adds_up", f"screw.{HEAD}") == "ok"


@pytest.mark.parametrize(
    ("field", "words"),
    [("grip_mm", "grip"), ("standoff_mm", "thickness of the flange"), ("engagement_mm", "engagement and length")],
)
def test_join_adds_up_breaks_just_over(sound, judged, having, field, words):
    value = getattr(_screw(sound, HEAD), field) + 0.06
    finding = judged(having(sound, {f"screw.{HEAD}.{field}": value}), "join.adds_up")[f"screw.{HEAD}"]
    assert finding.verdict == "stop"
    assert words in finding.message


def _sunk(case, having, grip_mm, counterbore_mm):
    thick = _screw(case, HEAD).grip_mm - _screw(case, HEAD).standoff_mm
    values = {"grip_mm": grip_mm, "standoff_mm": grip_mm - thick, "counterbore_mm": counterbore_mm}
    return having(case, {f"screw.{HEAD}.{field}": value for field, value in values.items()})


def test_join_counterbore_holds_at_its_limit(sound, verdict, having):
    """Half of an M8 under the head."""
    assert verdict(_sunk(sound, having, 4.0, 18.0), "join.counterbore", f"screw.{HEAD}") == "ok"


@pytest.mark.parametrize(("grip", "counterbore"), [(3.99, 18.0), (8.0, 0.0)])
def test_join_counterbore_breaks_just_over(sound, verdict, having, grip, counterbore):
    assert verdict(_sunk(sound, having, grip, counterbore), "join.counterbore", f"screw.{HEAD}") == "stop"


def test_a_flush_seat_needs_no_counterbore(sound, judged):
    assert not judged(sound, "join.counterbore")


def _beside_edge(case, judged, having, left):
    """A counterbore on the head screw as wide as leaves so much metal to the flange's edge."""
    subject = f"flange.head+screw.{HEAD}"
    edge = judged(case, "join.edge")[subject].measured
    return _sunk(case, having, 8.0, 2.0 * (edge - left)), subject


def test_join_counterbore_wall_holds_at_its_limit(sound, judged, verdict, having):
    case, subject = _beside_edge(sound, judged, having, 1.5)
    assert verdict(case, "join.counterbore_wall", subject) == "ok"
    assert not judged(sound, "join.counterbore_wall")


def test_join_counterbore_wall_breaks_just_over(sound, judged, verdict, having):
    case, subject = _beside_edge(sound, judged, having, 1.49)
    assert verdict(case, "join.counterbore_wall", subject) == "stop"


def test_join_seat_land_holds_at_its_limit(sound, verdict, having):
    """An M8's washer is 16 mm across (ISO 7089)."""
    assert verdict(having(sound, {f"screw.{HEAD}.post_mm": 16.0}), "join.seat_land", f"screw.{HEAD}") == "ok"


def test_join_seat_land_breaks_just_over(sound, judged, having):
    finding = judged(having(sound, {f"screw.{HEAD}.post_mm": 15.99}), "join.seat_land")[f"screw.{HEAD}"]
    assert finding.verdict == "stop"
    assert finding.fix.value == 18.0


def test_join_column_holds_at_its_limit(sound, verdict, having):
    """3 mm of wall round an M6."""
    assert verdict(having(sound, {f"screw.{COVER}.post_mm": 12.0}), "join.column", f"screw.{COVER}") == "ok"


def test_join_column_breaks_just_over(sound, judged, having):
    finding = judged(having(sound, {f"screw.{COVER}.post_mm": 11.9}), "join.column")[f"screw.{COVER}"]
    assert finding.verdict == "stop"
    assert finding.fix.value == 12.0


def _barred(case, turns_deg):
    """A head screw under a roof that only the short arm of its key goes under, with bars in the arm's way."""
    screw, space = _screw(case, HEAD), envelope(_screw(case, HEAD))
    outwards, seat = -np.array(screw.direction), np.array(screw.seat_mm)
    level = space.head_height_mm + space.bent_mm
    places = [seat + (level + 20.0) * outwards]
    for turn in np.radians(turns_deg):
        places.append(seat + level * outwards + 60.0 * np.array([np.cos(turn), np.sin(turn), 0.0]))
    bodies = tuple(
        Body(
            subject=f"runner.r{9 + k}",
            joint="",
            comes_with=0,
            groups=np.tile(place, (1, GROUP, 1)),
            middle=place[None, :],
            reach=np.zeros(1),
        )
        for k, place in enumerate(places)
    )
    return replace(case, bodies=bodies)


def _half_bar_deg():
    """Half a 6 mm key over corners and half a millimetre, seen from 60 mm (plain trigonometry)."""
    return float(np.degrees(np.arcsin((6.0 / np.sqrt(3.0) + 0.5) / 60.0)))


def test_join_swing_holds_at_its_limit(sound, judged):
    """Bars all round but for one gap of 60 degrees between their edges."""
    gap = 60.0 + 2 * _half_bar_deg() + 0.01
    turns = [0.0, *np.arange(gap, 359.0, 25.0)]
    finding = judged(_barred(sound, turns), "join.swing")[f"screw.{HEAD}"]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(60.0, abs=0.05)


def test_join_swing_breaks_just_over(sound, verdict):
    gap = 60.0 + 2 * _half_bar_deg() - 0.1
    turns = [0.0, *np.arange(gap, 359.0, 25.0)]
    assert verdict(_barred(sound, turns), "join.swing", f"screw.{HEAD}") == "stop"


def test_a_straight_key_needs_no_swing(sound, judged):
    assert f"screw.{HEAD}" not in judged(replace(sound, bodies=()), "join.swing")


def _apart(case, having, between_mm):
    """Two M6 cover screws on washers of 12 mm (ISO 7089), so much between them."""
    x, y, z = _screw(case, COVER).seat_mm
    return having(case, {"screw.cover.s2.seat_mm": (x + 12.0 + between_mm, y, z)})


def test_join_apart_holds_at_its_limit(sound, verdict, having):
    assert verdict(_apart(sound, having, 0.5), "join.apart", "screw.cover.s1+screw.cover.s2") == "ok"


def test_join_apart_breaks_just_over(sound, verdict, having):
    assert verdict(_apart(sound, having, 0.49), "join.apart", "screw.cover.s1+screw.cover.s2") == "stop"
