"""Rules that bite at the joints: each holds at its limit and breaks just over it."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.check.bodies import GROUP, Body
from tractwright.check.measures import deepest_tip_mm, stack_mm
from tractwright.check.screw_distances import envelope
from tractwright.standards.keys import hex_key
from tractwright.standards.screws import screw_head, stock_lengths, washer

SCREW = "head.s3"


def _screw(case, name=SCREW):
    return next(screw for screw in case.design.screws if screw.name == name)


def _beside(case, along_mm, off_mm, comes_with=0, subject="runner.r9"):
    """The case with nothing in the way but one point: so far out over a screw's seat, so far off its axis."""
    screw = _screw(case)
    outwards = -np.array(screw.direction)
    place = np.array(screw.seat_mm) + along_mm * outwards + off_mm * np.array([1.0, 0.0, 0.0])
    body = Body(
        subject=subject,
        joint="",
        comes_with=comes_with,
        groups=np.tile(place, (1, GROUP, 1)),
        middle=place[None, :],
        reach=np.zeros(1),
    )
    return replace(case, bodies=(body,))


def _with_load(case, kind, name, **values):
    """The case with figures of one load changed: kind 'screws' or 'joints'."""
    key = kind.removesuffix("s")
    group = tuple(replace(load, **values) if getattr(load, key) == name else load for load in getattr(case.loads, kind))
    return replace(case, loads=replace(case.loads, **{kind: group}))


HEAD_MM = (16.0 / 2, 8.0 + 1.8)
"""Radius and height of an M8 cap head on its washer: ISO 7089 outer diameter 16, ISO 4762 height 8, washer at most 1.8."""


def test_join_head_room_holds_at_its_limit(sound, verdict):
    case = _beside(sound, HEAD_MM[1] / 2, HEAD_MM[0] + 0.5)
    assert verdict(case, "join.head_room", f"runner.r9+screw.{SCREW}") == "ok"


def test_join_head_room_breaks_just_over(sound, judged):
    finding = judged(_beside(sound, HEAD_MM[1] / 2, HEAD_MM[0] + 0.49), "join.head_room")[f"runner.r9+screw.{SCREW}"]
    assert finding.verdict == "stop"
    assert finding.measured == pytest.approx(0.49)
    assert finding.fix is not None
    assert finding.fix.value == 5.0  # the next half millimetre that lifts the seat over a point 4.9 mm up


def test_head_room_asks_nothing_over_the_head(sound, judged):
    """A point just over the head is the key's business, not the head's."""
    subjects = judged(_beside(sound, HEAD_MM[1] + 0.01, 0.0), "join.head_room")
    assert f"screw.{SCREW}" in subjects


def test_head_room_in_a_counterbore(sound, judged, having):
    """An M8 cap head on its washer of 16 mm: a counterbore of 17 leaves half a millimetre, 16.9 does not."""
    wide = having(sound, {f"screw.{SCREW}.counterbore_mm": 17.0})
    tight = having(sound, {f"screw.{SCREW}.counterbore_mm": 16.9})
    assert judged(wide, "join.head_room")[f"screw.{SCREW}"].verdict == "ok"
    assert judged(tight, "join.head_room")[f"screw.{SCREW}"].verdict == "stop"


def test_join_key_room_holds_at_its_limit(sound, verdict):
    """The short arm of a 6 mm key is 38 mm (JIS B 4648, ISO 2936), less the socket's 4 mm (ISO 4762)."""
    space = envelope(_screw(sound))
    case = _beside(sound, HEAD_MM[1] + space.bent_mm, 0.0)
    assert space.bent_mm == hex_key(6.0).short_arm_mm - screw_head("cap", "M8").key_depth_mm
    assert verdict(case, "join.key_room", f"runner.r9+screw.{SCREW}") == "ok"


def test_join_key_room_breaks_just_over(sound, verdict):
    case = _beside(sound, HEAD_MM[1] + envelope(_screw(sound)).bent_mm - 0.01, 0.0)
    assert verdict(case, "join.key_room", f"runner.r9+screw.{SCREW}") == "stop"


def test_key_room_beside_the_key_is_free(sound, judged):
    """Half a 6 mm hexagon over corners and half a millimetre: beyond that nothing is in the way."""
    beside = 6.0 / np.sqrt(3.0) + 0.5
    assert f"screw.{SCREW}" in judged(_beside(sound, 20.0, beside + 0.01), "join.key_room")
    assert f"runner.r9+screw.{SCREW}" in judged(_beside(sound, 20.0, beside - 0.01), "join.key_room")


def test_key_room_under_a_later_piece_is_a_look(sound, judged):
    """The plenum goes on after the head screws: one look for the joint, none for its screws."""
    found = judged(_beside(sound, 30.0, 0.0, comes_with=1, subject="plenum.plenum"), "join.key_room")
    assert found["joint.head"].verdict == "look"
    assert found["joint.head"].message.startswith("1 of its screws")
    assert found[f"screw.{SCREW}"].verdict == "ok"


def test_every_screw_has_its_room_measured(sound, judged):
    """The packet shows both figures of each screw."""
    for rule in ("join.head_room", "join.key_room", "join.seat_pressure"):
        subjects = {part for subject in judged(sound, rule) for part in subject.split("+")}
        assert {f"screw.{screw.name}" for screw in sound.design.screws} <= subjects


def test_join_edge_holds_at_its_limit(sound, judged, having):
    found = judged(having(sound, {"flange.cover.contour": _edge_at(sound, 9.0)}), "join.edge")
    assert {f.verdict for s, f in found.items() if "flange.cover" in s} == {"ok"}
    assert min(f.measured for s, f in found.items() if "flange.cover" in s) == pytest.approx(9.0)


def test_join_edge_breaks_just_over(sound, judged, having):
    found = judged(having(sound, {"flange.cover.contour": _edge_at(sound, 8.99)}), "join.edge")
    assert "stop" in {f.verdict for s, f in found.items() if "flange.cover" in s}


def _edge_at(case, margin):
    """A rectangle whose edges pass the outermost cover screws at a margin: 1.5 d of M6 is 9 mm."""
    flange = next(flange for flange in case.design.flanges if flange.name == "cover")
    seats = np.array([screw.seat_mm for screw in case.design.screws if screw.joint == "cover"])
    places = flange.frame.to_local(seats)[:, :2]
    (x0, y0), (x1, y1) = places.min(axis=0) - margin, places.max(axis=0) + margin
    return ((x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0))


def test_join_length_holds_at_its_limit(sound, judged, having):
    """One pitch of M8, 1.25 mm, left under the tip: washer 1.6 + flange 12 + gasket 0.8 + thread 22 - 1.25 (plain sums)."""
    finding = judged(having(sound, {f"screw.{SCREW}.length_mm": 1.6 + 12.0 + 0.8 + 22.0 - 1.25}), "join.length")[
        f"screw.{SCREW}"
    ]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(0.0, abs=1e-9)


def test_join_length_breaks_just_over(sound, judged, having):
    finding = judged(having(sound, {f"screw.{SCREW}.length_mm": 35.16}), "join.length")[f"screw.{SCREW}"]
    assert finding.verdict == "stop"
    assert finding.fix is not None
    assert finding.fix.value == max(length for length in stock_lengths("cap", "M8") if length <= 35.15)


def test_length_out_of_a_through_thread(sound, judged, having):
    """Through the mouth flange the tip may stand out three pitches of M6: 1.6 + 12 + 12 + 3 mm."""
    for length, expected in ((28.6, "ok"), (28.61, "stop")):
        case = having(sound, {"screw.runner.s1.length_mm": length})
        assert judged(case, "join.length")["screw.runner.s1"].verdict == expected


def test_join_engagement_holds_at_its_limit(sound, judged, having):
    """Class 8.8 M8 in a cast head needs 12.6 mm to break before it strips (ISO/TR 16224 shear areas, an open package)."""
    finding = judged(having(sound, {f"screw.{SCREW}.engagement_mm": 12.62}), "join.engagement")[f"screw.{SCREW}"]
    assert finding.verdict == "ok"
    assert finding.limit == pytest.approx(12.6, abs=0.05)


def test_join_engagement_breaks_just_over(sound, judged, having):
    case = having(sound, {f"screw.{SCREW}.engagement_mm": 12.59})
    finding = judged(case, "join.engagement")[f"screw.{SCREW}"]
    assert finding.verdict == "stop"
    assert finding.fix is not None
    assert finding.fix.value >= stack_mm(case, _screw(case)) + finding.limit
    assert finding.fix.value <= stack_mm(case, _screw(case)) + deepest_tip_mm(case, _screw(case))


def test_engagement_a_shallow_hole_has_no_longer_screw(sound, judged, having):
    case = having(sound, {f"screw.{SCREW}.engagement_mm": 9.0, f"screw.{SCREW}.tapped_depth_mm": 9.0})
    finding = judged(case, "join.engagement")[f"screw.{SCREW}"]
    assert finding.verdict == "stop"
    assert finding.fix is None


def test_join_seat_pressure_holds_at_its_limit(sound, judged):
    case = _with_load(sound, "screws", SCREW, seat_stated_mpa=260.0, seat_high_mpa=260.0, seat_limit_mpa=260.0)
    found = judged(case, "join.seat_pressure")
    assert found[f"screw.{SCREW}"].verdict == found["joint.head"].verdict == "ok"


def test_join_seat_pressure_breaks_just_over(sound, judged):
    case = _with_load(sound, "screws", SCREW, seat_stated_mpa=260.1, seat_high_mpa=260.0, seat_limit_mpa=260.0)
    assert judged(case, "join.seat_pressure")[f"screw.{SCREW}"].verdict == "stop"


def test_seat_pressure_of_a_slippery_thread_is_a_look(sound, judged):
    case = _with_load(sound, "screws", SCREW, seat_stated_mpa=160.0, seat_high_mpa=260.1, seat_limit_mpa=260.0)
    found = judged(case, "join.seat_pressure")
    assert found[f"screw.{SCREW}"].verdict == "ok"
    assert found["joint.head"].verdict == "look"


def test_join_proof_holds_at_its_limit(sound, judged):
    case = _with_load(sound, "screws", SCREW, proof_used_stated=1.0, proof_used_high=1.0)
    found = judged(case, "join.proof")
    assert found["joint.head"].verdict == found[f"screw.{SCREW}"].verdict == "ok"


def test_join_proof_breaks_just_over(sound, judged):
    case = _with_load(sound, "screws", SCREW, proof_used_stated=1.001, proof_used_high=1.01)
    found = judged(case, "join.proof")
    assert found[f"screw.{SCREW}"].verdict == "stop"
    slippery = judged(_with_load(sound, "screws", SCREW, proof_used_stated=0.999, proof_used_high=1.01), "join.proof")
    assert slippery["joint.head"].verdict == "look"


def test_a_screw_past_its_proof_load_is_told_once(sound, judged, having):
    """An M8 at 60 Nm stopped for its proof load and its seat, and was looked at for heat and slippery threads beside."""
    case = having(sound, {f"screw.{SCREW}.torque_nm": 60.0})
    told = [
        (rule, subject)
        for rule in ("join.proof", "join.seat_pressure", "join.hot")
        for subject, finding in judged(case, rule).items()
        if finding.verdict != "ok"
    ]
    assert told == [("join.proof", f"screw.{SCREW}")]


def test_the_layouts_own_torques_stay_under_proof_at_the_low_factor(sound, judged):
    """Rounded down to a tenth of a newton metre, never up."""
    assert max(finding.measured for finding in judged(sound, "join.proof").values()) <= 1.0


def test_join_separation_holds_at_its_limit(sound, judged):
    case = _with_load(sound, "joints", "cover", separation_factor=1.5, backfire_factor=1.0)
    found = judged(case, "join.separation")
    assert found["joint.cover"].verdict == found["job.backfire"].verdict == "ok"


def test_join_separation_breaks_just_over(sound, judged):
    case = _with_load(sound, "joints", "cover", separation_factor=1.499, backfire_factor=0.999)
    found = judged(case, "join.separation")
    assert found["joint.cover"].verdict == "stop"
    assert found["job.backfire"].verdict == "look"
    assert "cover" in found["job.backfire"].message


def _dowel(sound, judged, having, metal):
    """The first dowel grown until so much metal is left round it."""
    subject, finding = next((s, f) for s, f in judged(sound, "join.dowel").items() if "dowel.runner.d1" in s)
    grown = sound.design.dowels[0].diameter_mm + 2.0 * (finding.measured - metal)
    return having(sound, {"dowel.runner.d1.diameter_mm": grown}), subject


def test_join_dowel_holds_at_its_limit(sound, judged, verdict, having):
    case, subject = _dowel(sound, judged, having, 2.0)
    assert verdict(case, "join.dowel", subject) == "ok"


def test_join_dowel_breaks_just_over(sound, judged, verdict, having):
    case, subject = _dowel(sound, judged, having, 1.99)
    assert verdict(case, "join.dowel", subject) == "stop"


def test_washers_and_heads_of_the_helpers():
    """The figures these tests stand on, from ISO 7089 and ISO 4762."""
    assert washer("M8").outer_mm / 2 == HEAD_MM[0]
    assert screw_head("cap", "M8").height_mm + washer("M8").thickness_max_mm == pytest.approx(HEAD_MM[1])


def _with_play(sound, having, saying, share):
    """An iron head at 60 C: the outermost hole, hypot(123, 34) mm from the middle, wanders 12.8e-6 x 40 of that."""
    wandered = np.hypot(123.0, 34.0) * (23.6e-6 - 10.8e-6) * 40.0
    head = [screw for screw in sound.design.screws if screw.joint == "head"]
    drilled = having(sound, {f"screw.{screw.name}.clearance_mm": 8.0 + 2.0 * share * wandered for screw in head})
    return saying(drilled, "head", material="cast iron")


def test_join_growth_holds_at_its_limit(sound, verdict, having, saying):
    assert verdict(_with_play(sound, having, saying, 1.0), "join.growth", "joint.head") == "ok"


def test_join_growth_breaks_just_over(sound, verdict, having, saying):
    assert verdict(_with_play(sound, having, saying, 0.999), "join.growth", "joint.head") == "look"
