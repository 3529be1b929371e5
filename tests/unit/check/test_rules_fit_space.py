"""Rules on the throttle body's space, hoses and what the old part carried: at the limit and just over it."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.check.throttle_space import body_space, gap_mm
from tractwright.design.pattern import KeepOutPlane, Room
from tractwright.job.space_tables import Carried, Hose, Scan

THROTTLE = "throttle.plenum"


def _wall_before(case, distance_mm):
    """A wall square to the throttle, so far from the face its body bolts to."""
    frame = case.design.throttles[0].frame
    normal = tuple(float(-v) for v in frame.z)
    offset = float(np.dot(normal, frame.origin_mm)) - distance_mm
    return replace(case, room=Room(planes=(KeepOutPlane(name="strut", normal=normal, offset_mm=offset),)))


@pytest.fixture
def bodied(sound, saying):
    """A body 40 mm long with a motor that reaches 90 mm upwards."""
    return saying(sound, "throttle", body_length_mm=40.0, actuator_reach_mm=90.0)


def test_fit_throttle_body_holds_at_its_limit(bodied, judged):
    finding = judged(_wall_before(bodied, 44.0), "fit.throttle_body")[THROTTLE]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(4.0)


def test_fit_throttle_body_breaks_just_over(bodied, judged):
    finding = judged(_wall_before(bodied, 43.99), "fit.throttle_body")[THROTTLE]
    assert finding.verdict == "stop"
    assert "strut" in finding.message


def test_what_stands_out_beside_the_body_counts(bodied, judged):
    """A bonnet 92 mm over the throttle's axis: 2 mm over a motor that reaches 90, far over the body itself."""
    height = bodied.design.throttles[0].frame.origin_mm[1] + 92.0
    bonnet = KeepOutPlane(name="bonnet", normal=(0, -1, 0), offset_mm=-height)
    finding = judged(replace(bodied, room=Room(planes=(bonnet,))), "fit.throttle_body")[THROTTLE]
    assert finding.measured == pytest.approx(2.0, abs=1e-6)
    assert finding.verdict == "stop"


def test_distance_to_a_body_and_its_motor(bodied):
    """Plain geometry: 10 mm before the body's end; 5 mm over the motor; 3 mm beside it."""
    space = body_space(bodied, bodied.design.throttles[0])
    up = np.array([*space.towards, 0.0])
    beside = np.array([-space.towards[1], space.towards[0], 0.0])
    points = np.array([[0.0, 0.0, 50.0], 95.0 * up + [0, 0, 20.0], 80.0 * up + 33.0 * beside + [0, 0, 20.0]])
    assert gap_mm(space, space.frame.to_world(points)) == pytest.approx([10.0, 5.0, 3.0])


def test_fit_straight_run_holds_at_its_limit(bodied, verdict):
    """A body of 40 mm and one bore of 52 before it."""
    assert verdict(_wall_before(bodied, 40.0 + 55.0), "fit.straight_run", THROTTLE) == "ok"


def test_fit_straight_run_breaks_just_over(bodied, judged):
    finding = judged(_wall_before(bodied, 40.0 + 47.0), "fit.straight_run")[THROTTLE]
    assert finding.verdict == "look"
    assert finding.measured == pytest.approx(45.0)


def test_no_straight_run_wanted_is_none_asked(bodied, judged, saying):
    assert not judged(saying(bodied, "throttle", straight_run_mm=0.0), "fit.straight_run")


def _hose(case, saying, off_mm):
    """A hose of 20 mm along the row, so far in front of the cover's outermost point."""
    front = max(float(body.groups[..., 2].max()) for body in case.bodies)
    at = front + 10.0 + off_mm
    hose = Hose(name="heater hose", start=[-100, 0, at], end=[100, 0, at], diameter=20)
    return saying(case, "room", hose=(hose,))


def test_fit_hoses_holds_at_its_limit(sound, judged, saying):
    finding = next(iter(judged(_hose(sound, saying, 4.5), "fit.hoses").values()))
    assert finding.verdict == "ok"


def test_fit_hoses_breaks_just_over(sound, judged, saying):
    subject, finding = next(iter(judged(_hose(sound, saying, 3.5), "fit.hoses").items()))
    assert finding.verdict == "stop"
    assert subject.split("+")[1] == "hose.heater_hose"
    assert finding.measured < 4.0


def test_fit_carried_holds_at_its_limit(sound, verdict, saying):
    case = saying(sound, "room", carried=(Carried(name="rail post", fate="moved"),))
    assert verdict(case, "fit.carried", "carried.rail_post") == "ok"


def test_fit_carried_breaks_just_over(sound, verdict, saying):
    case = saying(sound, "room", carried=(Carried(name="rail post"),))
    assert verdict(case, "fit.carried", "carried.rail_post") == "stop"


def test_of_a_scanned_part_it_is_asked_what_it_carried(sound, judged, saying):

    assert not judged(sound, "fit.carried")
    case = replace(sound, sheet=sound.sheet.model_copy(update={"scan": Scan(file="old.stl")}))
    assert judged(case, "fit.carried")["sheet.room.carried"].verdict == "unknown"
    said = saying(case, "room", carried_all=True)
    assert judged(said, "fit.carried")["sheet.room.carried"].verdict == "ok"
