"""Rules that bite at the fit: each holds at its limit and breaks just over it."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.design.pattern import KeepOutPlane, Room, ThrottleFace


def _under(case, height_mm):
    """A bonnet that many mm up."""
    return replace(case, room=Room(planes=(KeepOutPlane(name="bonnet", normal=(0, -1, 0), offset_mm=-height_mm),)))


def _room_left(case, judged, rule, subject, left):
    """A bonnet lowered until so much is left under it."""
    high = judged(_under(case, 500.0), rule)[subject].measured
    return _under(case, 500.0 - high + left)


@pytest.mark.parametrize("subject", ["runner.r1", "plenum.plenum"])
def test_fit_room_holds_at_its_limit(sound, judged, subject):
    finding = judged(_room_left(sound, judged, "fit.room", subject, 4.0), "fit.room")[subject]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(sound.sheet.room.clearance_mm)


@pytest.mark.parametrize("subject", ["runner.r1", "plenum.plenum"])
def test_fit_room_breaks_just_over(sound, judged, subject):
    finding = judged(_room_left(sound, judged, "fit.room", subject, 3.99), "fit.room")[subject]
    assert finding.verdict == "stop"
    assert "bonnet" in finding.message


def test_room_over_a_plenum_is_its_own_height(sound, judged):
    """The box stands wall and half its inside over the row of mouths: plain sums."""
    box = sound.design.plena[0]
    top = box.height_mm / 2 + box.wall_mm
    assert judged(_under(sound, top + 30.0), "fit.room")["plenum.plenum"].measured == pytest.approx(30.0)


def _before_a_wall(case, free):
    """A wall so far in front of the cover."""
    front = max(float(body.groups[..., 2].max()) for body in case.bodies if body.subject == "flange.cover")
    wall = KeepOutPlane(name="wall", normal=(0, 0, -1), offset_mm=-(front + free))
    return replace(case, room=replace(case.room, planes=(*case.room.planes, wall)))


def test_fit_lift_off_holds_at_its_limit(sound, judged):
    """15 mm to draw it off its dowels."""
    finding = judged(_before_a_wall(sound, 15.0), "fit.lift_off")["bank.a"]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(0.0, abs=1e-6)


def test_fit_lift_off_breaks_just_over(sound, judged):
    finding = judged(_before_a_wall(sound, 14.99), "fit.lift_off")["bank.a"]
    assert finding.verdict == "stop"
    assert "wall" in finding.message


def test_what_fouls_in_place_is_not_told_again_of_lifting(sound, judged):
    """A bonnet that cuts into the plenum, along which the part is drawn off."""
    case = _room_left(sound, judged, "fit.room", "plenum.plenum", -5.0)
    assert judged(case, "fit.room")["plenum.plenum"].verdict == "stop"
    assert judged(case, "fit.lift_off")["bank.a"].verdict == "ok"


@pytest.mark.parametrize(("stud", "way"), [(False, 15.0), (True, 35.0)])
def test_lift_off_goes_as_far_as_studs_or_dowels(sound, judged, stud, way):
    """In front of the cover a wall: what is free before it is what is left after the way of 15 or 35 mm."""
    holes = tuple(replace(hole, stud=stud) for hole in sound.design.head_holes)
    front = max(float(body.groups[..., 2].max()) for body in sound.bodies if body.subject == "flange.cover")
    wall = KeepOutPlane(name="wall", normal=(0, 0, -1), offset_mm=-(front + 40.0))
    case = replace(
        sound,
        room=Room(planes=(wall,)),
        described=replace(sound.described, design=replace(sound.design, head_holes=holes)),
    )
    assert judged(case, "fit.lift_off")["bank.a"].measured == pytest.approx(40.0 - way, abs=0.01)


def test_fit_neighbours_holds_at_its_limit(sound, judged, saying):
    gap = judged(sound, "fit.neighbours")["runner.r1+runner.r2"].measured
    case = saying(sound, "runner", neighbour_gap_mm=gap)
    assert judged(case, "fit.neighbours")["runner.r1+runner.r2"].verdict == "ok"


def test_fit_neighbours_breaks_just_over(sound, judged, saying):
    gap = judged(sound, "fit.neighbours")["runner.r1+runner.r2"].measured
    case = saying(sound, "runner", neighbour_gap_mm=gap + 0.01)
    assert judged(case, "fit.neighbours")["runner.r1+runner.r2"].verdict == "stop"


def test_gap_of_straight_neighbours(sound, judged):
    """82 mm apart, 38 mm bores, 4 mm walls: 36 mm between the skins, 118 mm from the first to the third (plain sums)."""
    found = judged(sound, "fit.neighbours")
    assert found["runner.r1+runner.r2"].measured == pytest.approx(36.0, abs=0.05)
    assert found["runner.r1+runner.r3"].measured == pytest.approx(118.0, abs=0.05)


def test_runners_that_run_into_each_other_have_a_negative_gap(sound, judged):
    """The second runner pushed 50 mm towards the first: 36 - 50 mm."""
    moved = replace(
        sound.tubes["r2"],
        centre_mm=sound.tubes["r2"].centre_mm - np.array([50.0, 0.0, 0.0]),
        outer_mm=sound.tubes["r2"].outer_mm - np.array([50.0, 0.0, 0.0]),
    )
    case = replace(sound, tubes={**sound.tubes, "r2": moved})
    assert judged(case, "fit.neighbours")["runner.r1+runner.r2"].measured == pytest.approx(-14.0, abs=0.3)


def _old_throttle(case, off_mm):
    throttle = case.design.throttles[0]
    x, y, z = throttle.frame.origin_mm
    frame = replace(throttle.frame, origin_mm=(x, y + off_mm, z))
    face = ThrottleFace(frame=frame, bore_mm=52.0, holes_mm=())
    return replace(case, pattern=replace(case.pattern, throttle_face=face))


def test_fit_throttle_moved_holds_at_its_limit(sound, verdict):
    assert verdict(_old_throttle(sound, 5.0), "fit.throttle_moved", "throttle.plenum") == "ok"


def test_fit_throttle_moved_breaks_just_over(sound, verdict):
    assert verdict(_old_throttle(sound, 5.01), "fit.throttle_moved", "throttle.plenum") == "look"


def test_throttle_moved_asks_nothing_without_an_old_one(sound, judged):
    assert not judged(sound, "fit.throttle_moved")
