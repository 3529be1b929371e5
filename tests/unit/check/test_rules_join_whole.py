"""Rules on a joint as a whole: tightness, heat, inserts, pins, bodies' threads, nodding."""

from dataclasses import replace

import pytest
from check_cases import SHEET, described_case

from tractwright.check.weights import hanging
from tractwright.standards.inserts import wire_insert
from tractwright.strength.stage import loads

PIN = "dowel.runner.d1"


def _tightened(case, having, share):
    """All cover screws to a share of 8.8's proof load for M6, 20.1 mm2 x 580 MPa (ISO 898-1), at K 0.2."""
    torque = share * 20.12 * 580.0 * 0.2 * 6.0 / 1000.0
    names = [screw.name for screw in case.design.screws if screw.joint == "cover"]
    return having(case, {f"screw.{name}.torque_nm": torque for name in names})


def _slackest(case, judged):
    return next(finding for subject, finding in judged(case, "join.slack").items() if "cover" in subject)


def test_join_slack_holds_at_its_limit(sound, judged, having):
    assert _slackest(_tightened(sound, having, 0.3002), judged).verdict == "ok"


def test_join_slack_breaks_just_over(sound, judged, having):
    finding = _slackest(_tightened(sound, having, 0.299), judged)
    assert finding.verdict == "look"
    assert finding.fix.value == pytest.approx(8.3, abs=0.11)


def test_a_screw_that_clamps_nothing_is_a_stop(sound, judged, having):
    assert _slackest(_tightened(sound, having, 0.0999), judged).verdict == "stop"


def _first_at(case, having, share):
    """Two rows of head screws at x = -123, 123 and, of 123, at a share to either side of the middle."""
    at = {"s1": -1.0, "s2": -1.0, "s3": -share, "s4": -share, "s5": share, "s6": share, "s7": 1.0, "s8": 1.0}
    seats = {s.name: s.seat_mm for s in case.design.screws if s.joint == "head"}
    return having(
        case,
        {f"screw.{name}.seat_mm": (123.0 * at[name.split(".")[1]], *seat[1:]) for name, seat in seats.items()},
    )


def test_join_tightening_holds_at_its_limit(sound, judged, having):
    finding = judged(_first_at(sound, having, 0.4999), "join.tightening")["joint.head"]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(0.4999)


def test_join_tightening_breaks_just_over(sound, verdict, having):
    assert verdict(_first_at(sound, having, 0.501), "join.tightening", "joint.head") == "look"


def test_short_joints_are_tightened_crosswise(sound, judged):
    assert "joint.neck" not in judged(sound, "join.tightening")


def _warm(case, saying, share_more):
    """As warm as stretches a screw by that share of 580 MPa: (23.6 - 11.5) 1e-6/K x 206 GPa / 1.3 (typical values)."""
    return saying(case, "air", wall_degc=20.0 + share_more * 580.0 * 1.3 / (12.1e-6 * 206000.0))


def test_join_hot_holds_at_its_limit(sound, judged, saying):
    tight = max(load.proof_used_stated for load in sound.loads.screws if load.joint == "cover")
    finding = judged(_warm(sound, saying, 0.999 - tight), "join.hot")["joint.cover"]
    assert finding.verdict == "ok"
    assert finding.measured == pytest.approx(0.999, abs=2e-3)


def test_join_hot_breaks_just_over(sound, verdict, saying):
    tight = max(load.proof_used_stated for load in sound.loads.screws if load.joint == "cover")
    assert verdict(_warm(sound, saying, 1.002 - tight), "join.hot", "joint.cover") == "look"


def _inserted(case, saying, having, deep_mm):
    said = saying(case, "head", insert_mm=12.0)
    names = [screw.name for screw in case.design.screws if screw.joint == "head"]
    changed = having(said, {f"screw.{name}.tapped_depth_mm": deep_mm for name in names})
    return replace(changed, loads=loads(changed.sheet, changed.design))


def test_join_insert_holds_at_its_limit(sound, verdict, saying, having):
    """An M8 insert of 12 mm asks for 13.25 mm of thread (ASME B18.29.8M, a secondary print)."""
    assert verdict(_inserted(sound, saying, having, 13.25), "join.insert", "joint.head") == "ok"


def test_join_insert_breaks_just_over(sound, verdict, saying, having):
    assert verdict(_inserted(sound, saying, having, 13.24), "join.insert", "joint.head") == "stop"


def test_a_short_insert_is_not_mended_by_a_longer_screw(sound, judged, tmp_path):
    """An M8 insert of one diameter carries 7.06 mm, however long the screw is."""
    finding = judged(described_case(tmp_path, SHEET + "\n[head]\ninsert = 8\n"), "join.engagement")["screw.head.s1"]
    assert (finding.verdict, finding.measured) == ("stop", pytest.approx(7.06, abs=0.01))
    assert finding.fix is None
    assert "inserts 12 mm long (head.insert)" in finding.message


@pytest.mark.parametrize(("deep", "insert"), [(9.0, 8), (15.0, 16), (12.0, 16), (8.0, 8)])
def test_both_rules_on_inserts_give_the_same_advice(judged, tmp_path, deep, insert):
    """One said 'a shorter insert', the other 'a longer insert', of one and the same shallow hole."""
    text = SHEET.replace("[pattern]", f"[pattern]\nscrew_depth = {deep}") + f"\n[head]\ninsert = {insert}\n"
    case = described_case(tmp_path, text)
    hole = judged(case, "join.insert")["joint.head"]
    screw = judged(case, "join.engagement")["screw.head.s1"]
    assert hole.verdict == "stop"
    advice = hole.message.partition(": ")[2]
    assert "inserts 12 mm long" in advice
    assert ("tapped 13.25 mm deep" in advice) == (deep < 13.25)
    assert screw.verdict == "ok" or screw.message.endswith(advice) or "take a longer screw" in screw.message


def test_an_insert_carries_more_than_the_bare_thread(sound, judged, saying, having):
    """12 mm of insert hold an 8.8 M8 in a cast head, where 12 mm of bare thread (12.6 needed) do not."""
    bare = having(sound, {"screw.head.s1.engagement_mm": 11.9, "screw.head.s1.torque_nm": 60.0})
    assert judged(bare, "join.engagement")["screw.head.s1"].verdict == "stop"
    held = saying(bare, "head", insert_mm=12.0)
    held = replace(held, loads=loads(held.sheet, held.design))
    finding = judged(held, "join.engagement")["screw.head.s1"]
    assert finding.measured == wire_insert("M8", 12.0).assembled_least_mm
    assert finding.verdict == "ok"
    assert not judged(bare, "join.insert")


def _pins(case, dowels):
    return replace(case, described=replace(case.described, design=replace(case.design, dowels=dowels)))


def test_join_located_holds_at_its_limit(sound, verdict):
    assert verdict(sound, "join.located", "joint.runner") == "ok"


def test_join_located_breaks_just_over(sound, judged):
    """One pin is a stop; two side by side a look (half of the 164 mm row, 82 mm, is asked)."""
    one, two = sound.design.dowels
    assert judged(_pins(sound, (one,)), "join.located")["joint.runner"].verdict == "stop"
    x, y, z = one.at_mm
    close = judged(_pins(sound, (one, replace(two, at_mm=(x + 81.9, y, z)))), "join.located")["joint.runner"]
    assert (close.verdict, close.limit) == ("look", pytest.approx(82.0))
    apart = _pins(sound, (one, replace(two, at_mm=(x + 82.1, y, z))))
    assert judged(apart, "join.located")["joint.runner"].verdict == "ok"


def test_join_dowel_size_holds_at_its_limit(sound, judged, having):
    found = judged(having(sound, {f"{PIN}.depth_second_mm": 6.0}), "join.dowel_size")
    assert found[PIN].verdict == "ok"
    floor = sound.design.plena[0].floor_mm
    deep = judged(having(sound, {f"{PIN}.depth_second_mm": floor - 1.5}), "join.dowel_size")
    assert deep["dowel.runner.d1+flange.floor"].verdict == "ok"


@pytest.mark.parametrize(
    ("field", "value", "subject"),
    [
        ("diameter_mm", 5.9, PIN),
        ("depth_first_mm", 5.99, PIN),
        ("depth_second_mm", 5.99, PIN),
        ("depth_first_mm", 10.6, f"{PIN}+flange.mouth"),
        ("depth_second_mm", 10.6, f"{PIN}+flange.floor"),
    ],
)
def test_join_dowel_size_breaks_just_over(sound, judged, having, field, value, subject):
    assert judged(having(sound, {f"{PIN}.{field}": value}), "join.dowel_size")[subject].verdict == "stop"


def test_join_body_thread_holds_at_its_limit(sound, judged, having):
    """M6 of class 8.8 in 6061-T651 plate needs 7.6 mm (FED-STD-H28/2B formulas, an open package)."""
    finding = judged(having(sound, {"flange.body.thickness_mm": 7.7}), "join.body_thread")[
        "flange.body+throttle.plenum"
    ]
    assert finding.verdict == "ok"
    assert finding.limit == pytest.approx(7.6, abs=0.05)


def test_join_body_thread_breaks_just_over(sound, verdict, having):
    thin = having(sound, {"flange.body.thickness_mm": 7.5})
    assert verdict(thin, "join.body_thread", "flange.body+throttle.plenum") == "stop"


@pytest.mark.parametrize(("holes", "expected"), [(31.0, "ok"), (30.99, "stop")])
def test_metal_between_the_bodys_holes_and_the_bore(sound, verdict, having, holes, expected):
    """26 mm of bore, 3 mm of thread, 2 mm of metal."""
    case = having(sound, {"throttle.plenum.holes_mm": ((holes, 0.0), (-40.0, 0.0))})
    assert verdict(case, "join.body_thread", "throttle.plenum") == expected


def _nodding(case, saying, times):
    frequency = hanging(case, case.design.plena[0]).frequency_hz
    loose = saying(case, "joint", brace=False)
    return saying(loose, "engine", highest_rpm=times * frequency * 30.0)


def test_join_nodding_holds_at_its_limit(sound, verdict, saying):
    assert verdict(_nodding(sound, saying, 0.9999), "join.nodding", "plenum.plenum") == "ok"


def test_join_nodding_breaks_just_over(sound, verdict, saying):
    assert verdict(_nodding(sound, saying, 1.0001), "join.nodding", "plenum.plenum") == "look"


def test_a_brace_ends_the_question(sound, judged, saying):
    assert not judged(saying(_nodding(sound, saying, 2.0), "joint", brace=True), "join.nodding")


def test_straight_runners_as_beams(sound):
    """Three tubes 38/46 mm held at one end: 3 E I / L^3 each, E 68.9 GPa (exact beam theory)."""
    runner = sound.design.runners[0]
    bore = 37.0
    even = tuple((place, 3.14159265 / 4 * bore**2) for place, _ in runner.area_mm2)
    runners = tuple(replace(r, area_mm2=even) for r in sound.design.runners)
    tubes = {name: replace(model, area_mm2=model.area_mm2 * 0.0 + even[0][1]) for name, model in sound.tubes.items()}
    case = replace(
        sound, tubes=tubes, described=replace(sound.described, design=replace(sound.design, runners=runners))
    )
    free = runner.length_mm - runner.port_lead_mm - runner.mouth_lead_mm
    inertia = 3.14159265 / 64 * ((bore + 8.0) ** 4 - bore**4)
    expected = 3 * 3 * 68900.0 * inertia / free**3
    assert hanging(case, case.design.plena[0]).stiffness_n_mm == pytest.approx(expected, rel=0.08)


def test_join_mixed_holds_at_its_limit(sound, judged):
    assert {finding.verdict for finding in judged(sound, "join.mixed").values()} == {"ok"}


def test_join_mixed_breaks_just_over(sound, judged, having):
    finding = judged(having(sound, {"screw.head.s3.property_class": "10.9"}), "join.mixed")["joint.head"]
    assert finding.verdict == "look"
    assert finding.measured == 1.0
