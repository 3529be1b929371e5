"""Rules that bite at the pattern: each holds at its limit and breaks just over it."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.check.rules import pattern_assumed
from tractwright.design.pattern import Measurement, ProbableHole
from tractwright.job.assume import Assumed


def _measured(case, **given):
    item = Measurement(
        **({"what": "port p1 width", "value": 40.0, "unit": "mm", "residual": 0.05, "sure": 1.0} | given)
    )
    return replace(case, pattern=replace(case.pattern, measurements=(item,)))


def _weighing(monkeypatch: pytest.MonkeyPatch, weight: float) -> None:
    taken = Assumed(key="engine.bore", value="86 mm", why="usual", weight=weight)
    monkeypatch.setattr(pattern_assumed, "assumed_values", lambda _: (taken,))


def test_pattern_assumed_holds_at_its_limit(sound, verdict, monkeypatch):
    _weighing(monkeypatch, 0.15)
    assert verdict(sound, "pattern.assumed", "sheet.engine.bore") == "ok"


def test_pattern_assumed_breaks_just_over(sound, verdict, monkeypatch):
    _weighing(monkeypatch, 0.151)
    assert verdict(sound, "pattern.assumed", "sheet.engine.bore") == "look"


def test_pattern_sources_agree_holds_at_its_limit(sound, verdict):
    assert verdict(_measured(sound, other_source=40.5), "pattern.sources_agree", "pattern.port_p1_width") == "ok"


def test_pattern_sources_agree_breaks_just_over(sound, verdict):
    assert verdict(_measured(sound, other_source=40.501), "pattern.sources_agree", "pattern.port_p1_width") == "stop"


def test_pattern_sources_agree_asks_nothing_of_one_source(sound, judged):
    assert not judged(_measured(sound), "pattern.sources_agree")


def test_pattern_sure_holds_at_its_limit(sound, verdict):
    assert verdict(_measured(sound, sure=0.5), "pattern.sure", "pattern.port_p1_width") == "ok"


def test_pattern_sure_breaks_just_over(sound, verdict):
    assert verdict(_measured(sound, sure=0.499), "pattern.sure", "pattern.port_p1_width") == "look"


def _seen(case, share):
    place = ProbableHole(at_mm=(177.4, -22.3), why="mirror image of s2", seen=share, taken=share < 0.5)
    return replace(case, pattern=replace(case.pattern, probable=(place,)))


def test_pattern_hole_missing_holds_at_its_limit(sound, verdict):
    assert verdict(_seen(sound, 0.5), "pattern.hole_missing", "pattern.hole_at_177_-22") == "ok"


def test_pattern_hole_missing_breaks_just_over(sound, verdict):
    assert verdict(_seen(sound, 0.499), "pattern.hole_missing", "pattern.hole_at_177_-22") == "look"


def test_pattern_unheeded_holds_at_its_limit(sound, judged):
    assert not judged(sound, "pattern.unheeded")


def test_pattern_unheeded_breaks_just_over(sound, verdict):
    described = replace(sound.described, unheeded=("runner.r1.area_mm2",))
    assert verdict(replace(sound, described=described), "pattern.unheeded", "runner.r1.area_mm2") == "look"


SCREW = "screw.head.s3"


def _moved(sound, having, off_mm):
    x, y, z = next(screw.seat_mm for screw in sound.design.screws if f"screw.{screw.name}" == SCREW)
    return having(sound, {f"{SCREW}.seat_mm": (x + off_mm, y, z)})


def test_pattern_head_hole_holds_at_its_limit(sound, verdict, having):
    assert verdict(_moved(sound, having, 0.05), "pattern.head_hole", SCREW) == "ok"


def test_pattern_head_hole_breaks_just_over(sound, judged, having):
    finding = judged(_moved(sound, having, 0.06), "pattern.head_hole")[SCREW]
    assert finding.verdict == "stop"
    assert finding.measured == pytest.approx(0.06)
    deep = judged(having(sound, {f"{SCREW}.tapped_depth_mm": 22.1}), "pattern.head_hole")[SCREW]
    assert deep.verdict == "stop"
    assert "22 mm deep" in deep.message


def test_a_screw_that_leans_is_followed_to_the_face(sound, judged, having):
    """12 mm over the face, leaning 1 in 10: 1.2 mm off its hole."""
    way = np.array([0.1, 0.0, -1.0]) / np.hypot(0.1, 1.0)
    leaning = having(sound, {f"{SCREW}.direction": tuple(way.tolist())})
    assert judged(leaning, "pattern.head_hole")[SCREW].measured == pytest.approx(1.2)


def test_pattern_ports_used_holds_at_its_limit(sound, judged):
    assert {finding.verdict for finding in judged(sound, "pattern.ports_used").values()} == {"ok"}


def test_pattern_ports_used_breaks_just_over(sound, judged, having):
    found = judged(having(sound, {"runner.r2.ports": ("p1",)}), "pattern.ports_used")
    assert [found[f"port.p{k}"].verdict for k in (1, 2, 3)] == ["stop", "stop", "ok"]


def _held(case, having, lip):
    """The first lip held in the description, the sheet saying 7 mm."""
    changed = having(case, {"runner.r1.mouth.lip_radius_mm": lip})
    standing = {"runner.r1.mouth.lip_radius_mm": "held", "plenum.plenum.depth_mm": "held"}
    return replace(changed, described=replace(changed.described, design=replace(changed.design, standing=standing)))


def test_pattern_held_fact_holds_at_its_limit(sound, judged, having):
    found = judged(_held(sound, having, 7.0), "pattern.held_fact")
    assert [(subject, finding.verdict) for subject, finding in found.items()] == [
        ("runner.r1.mouth.lip_radius_mm", "ok")
    ]


def test_pattern_held_fact_breaks_just_over(sound, judged, having):
    finding = judged(_held(sound, having, 7.01), "pattern.held_fact")["runner.r1.mouth.lip_radius_mm"]
    assert finding.verdict == "look"
    assert finding.measured == pytest.approx(0.01)
    assert "runner.lip_radius = 7" in finding.message
