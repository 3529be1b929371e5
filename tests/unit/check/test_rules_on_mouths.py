"""Rules on throttle bodies that sit on the mouths: each holds at its limit and breaks just over it."""

from dataclasses import replace

import numpy as np
import pytest
from check_cases import found, with_sheet, with_value, with_values
from on_mouths import SHEET, case_on_mouths

from tractwright.check.case import Case
from tractwright.check.stage import all_rules
from tractwright.check.throttle_space import body_space
from tractwright.geometry.frames import vec3


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory) -> Case:
    return case_on_mouths(tmp_path_factory.mktemp("on-mouths"))


def _moved(case: Case, name: str, by_mm: tuple[float, float, float]) -> Case:
    """One body moved in the job's axes."""
    throttle = next(item for item in case.design.throttles if item.name == name)
    frame = replace(throttle.frame, origin_mm=vec3(np.array(throttle.frame.origin_mm) + by_mm))
    return replace(
        case, described=replace(case.described, design=with_value(case.design, f"throttle.{name}.frame", frame))
    )


def test_it_is_sound(case):
    stops = [(rule.id, f.subject) for rule in all_rules() if rule.needs == "description"
             for f in found(case, rule.id).values() if f.verdict == "stop"]  # fmt: skip
    assert stops == []


@pytest.mark.parametrize("way", [(0.0, 1.0, 0.0), (0.0, 0.0, 1.0)])
def test_fit_bodies_in_line_holds_at_its_limit(case, way):
    """Plain sums: a body moved square to the line of the spindles is off it by as much."""
    moved = found(_moved(case, "r2", vec3(0.0999 * np.array(way))), "fit.bodies_in_line")
    assert moved["throttle.r2"].verdict == "ok"
    assert moved["throttle.r2"].measured == pytest.approx(0.0999, abs=1e-6)


@pytest.mark.parametrize("way", [(0.0, 1.0, 0.0), (0.0, 0.0, 1.0)])
def test_fit_bodies_in_line_breaks_just_over(case, way):
    moved = found(_moved(case, "r2", vec3(0.1001 * np.array(way))), "fit.bodies_in_line")
    assert moved["throttle.r2"].verdict == "stop"


@pytest.mark.parametrize(("pitch_mm", "verdict"), [(82.0999, "ok"), (82.1001, "stop")])
def test_a_bank_goes_on_at_its_own_pitch(case, pitch_mm, verdict):
    """Of three bodies the outer two are off by one step's difference each."""
    (finding,) = found(with_sheet(case, "throttle", pitch_mm=pitch_mm), "fit.bodies_in_line").values()
    assert finding.verdict == verdict
    assert finding.measured == pytest.approx(pitch_mm - 82.0, abs=1e-6)


def test_bodies_bought_singly_only_stand_in_line(case):
    """No pitch is given: the mean one is theirs."""
    (finding,) = found(with_sheet(case, "throttle", pitch_mm=None), "fit.bodies_in_line").values()
    assert finding.measured == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("bore_mm", "verdict"), [
    (41.602, "ok"), (41.598, "stop"), (42.398, "ok"), (42.402, "look"),
])  # fmt: skip
def test_a_runner_meets_its_body_without_a_step(case, bore_mm, verdict):
    changed = with_values(case, {"runner.r2.mouth.bore_mm": bore_mm})
    finding = found(changed, "air.neck_bore")["runner.r2"]
    assert finding.verdict == verdict
    assert finding.measured == pytest.approx(abs(42.0 - bore_mm) / 2, abs=1e-9)
    assert verdict == "ok" or (finding.fix is not None and finding.fix.path == "runner.r2.mouth.bore_mm")


@pytest.mark.parametrize("rule", ["air.lip_radius", "air.lip_room", "air.mouths_apart"])
def test_what_only_a_plenum_has_is_not_asked(case, rule):
    assert not found(case, rule)


@pytest.mark.parametrize("rule", ["join.located", "air.step", "wall.throttle_opening", "fit.throttle_moved"])
def test_no_pins_are_asked_of_bodies_as_bought(case, rule):
    assert not found(case, rule)


def test_lengths_are_compared_along_the_row(case):
    assert set(found(case, "air.length_spread")) == {"body_row.bodies"}


def _under_a_bonnet(tmp_path, height_mm):
    plane = f'[[room.plane]]\nname = "bonnet"\nnormal = [0, -1, 0]\noffset = "-{height_mm} mm"\n'
    return case_on_mouths(tmp_path, SHEET + plane)


@pytest.mark.parametrize(("height_mm", "verdict"), [(41.01, "ok"), (40.99, "stop")])
def test_room_round_a_body_with_its_bell(tmp_path, height_mm, verdict):
    """Plain sums: half the bore 21, a wall of 4, a bell of 12, and the room's clearance of 4."""
    finding = found(_under_a_bonnet(tmp_path, height_mm), "fit.throttle_body")["throttle.r2"]
    assert finding.verdict == verdict
    assert finding.measured == pytest.approx(height_mm - 37.0, abs=1e-6)


@pytest.mark.parametrize(("height_mm", "verdict"), [(64.01, "ok"), (63.99, "stop")])
def test_a_lever_stands_out_beside_the_one_body_it_is_on(tmp_path, height_mm, verdict):
    """All bodies stand as far up: the first carries it, the others have the room they had."""
    case = with_sheet(_under_a_bonnet(tmp_path, height_mm), "throttle", actuator_reach_mm=60.0)
    findings = found(case, "fit.throttle_body")
    assert findings["throttle.r1"].verdict == verdict
    assert findings["throttle.r3"].measured == pytest.approx(height_mm - 37.0, abs=1e-6)


def test_a_lever_along_the_row_is_on_the_last_body(case):
    changed = with_sheet(case, "throttle", actuator_reach_mm=60.0, actuator_towards=(1.0, 0.0, 0.0))
    reach = {item.name: body_space(changed, item).reach_mm for item in changed.design.throttles}
    assert reach == {"r1": 0.0, "r2": 0.0, "r3": 60.0}


@pytest.mark.parametrize(("bell_mm", "fouled"), [(0.0, False), (30.0, True)])
def test_keys_pass_by_bodies_and_bells(case, bell_mm, fouled):
    """A screw stands 38.3 mm from the bore's middle; a barrel of 25 leaves its key free, a bell of 55 does not."""
    row = {"trumpet_mm": 0.0, "body_mm": 18.0, "bell_mm": bell_mm}
    changed = with_values(case, {f"body_row.bodies.{field}": value for field, value in row.items()})
    keys = {name: f for name, f in found(changed, "join.key_room").items() if "screw.runner." in name}
    assert len(keys) == 12
    assert any("throttle." in name for name in keys) == fouled


def test_pattern_on_mouths_holds_at_its_limit(case):
    assert {f.verdict for f in found(case, "pattern.on_mouths").values()} == {"ok"}


def test_pattern_on_mouths_breaks_just_over(case):
    elsewhere = found(with_sheet(case, "throttle", place="end_1"), "pattern.on_mouths")
    assert {name: f.verdict for name, f in elsewhere.items()} == {
        f"sheet.throttle.{key}": "look" for key in ("pitch", "body_flange", "trumpet", "bell")
    }
