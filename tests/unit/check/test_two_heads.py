"""A flat four's description over two heads: its parts, and what the rules ask of each head apart and of both together."""

from dataclasses import replace

import numpy as np
import pytest
from two_heads import FLAT_FOUR, flat_four_case

from tractwright.check.stage import look_ahead
from tractwright.design.pattern import KeepOutPlane
from tractwright.route.layout.slots import wandered_mm


@pytest.fixture(scope="module")
def flat_four(tmp_path_factory):
    return flat_four_case(tmp_path_factory.mktemp("flat-four"))


def test_nothing_stops_it(flat_four):
    assert flat_four.described.feasible
    stops = [(item.rule, item.subject) for item in look_ahead(flat_four) if item.verdict == "stop"]
    assert not stops


def test_one_head_piece_lies_on_both_heads(flat_four):
    design = flat_four.design
    heads = {joint.name: joint for joint in design.joints if joint.kind == "head"}
    assert set(heads) == {"head.left", "head.right"}
    assert {joint.pieces for joint in heads.values()} == {("engine", "head")}
    assert [bank.frame for bank in design.banks] == [joint.frame for joint in heads.values()]
    for name in heads:
        own = [screw for screw in design.screws if screw.joint == name]
        assert len(own) == len(design.head_holes) / 2
        assert [seal.kind for seal in design.seals if seal.joint == name] == ["gasket"]
        assert [flange.piece for flange in design.flanges if flange.joint == name] == ["head"]
    assert [plenum.bank for plenum in design.plena] == [""]


def test_the_mouths_of_the_banks_stand_by_turns(flat_four):
    row = sorted(flat_four.design.runners, key=lambda runner: runner.mouth.at_mm[0])
    assert [runner.bank for runner in row] == ["left", "right", "left", "right"]
    starts = [flat_four.tubes[runner.name].centre_mm[0, 0] for runner in row]
    assert starts == sorted(starts)


def test_runners_that_arrive_aslant_from_two_sides_are_as_long_as_said(tmp_path):
    """Between two stations of the search they stood half a millimetre too near to their plenum, and their mouths could not
    spread: 220 mm were refused where nothing was in the way.
    """
    said = {"70 deg": "50 deg", "90 mm": "95 mm", "108 mm": "104 mm", "34 mm": "30 mm", "260 mm": "220 mm"}
    text = FLAT_FOUR.replace('"circle"', '"oval"\nport_height = "26 mm"').replace(
        'port_width = "36', 'port_width = "40'
    )
    for old, new in said.items():
        text = text.replace(f'"{old}"', f'"{new}"')
    case = flat_four_case(
        tmp_path, text, length_mm=220.0, lip_radius_mm=7.5, plenum_volume_l=2.3, throttle_bore_mm=60.0
    )
    assert case.described.feasible
    assert [runner.length_mm for runner in case.design.runners] == pytest.approx([220.0] * 4, rel=2e-3)


def test_each_runner_is_asked_for_land_on_its_own_head_only(flat_four, judged):
    """A root on the other head's flange was once measured where no runner stands, and stopped the job."""
    subjects = {subject for subject in judged(flat_four, "wall.root_land") if "flange.head" in subject}
    banks = {runner.name: runner.bank for runner in flat_four.design.runners}
    assert subjects == {f"flange.head.{bank}+runner.{name}" for name, bank in banks.items()}


def test_it_is_drawn_off_midway_between_the_heads(flat_four, judged):
    """Straight up, for the heads turn into each other about the upright: 15 mm under a bonnet just over it, no more."""
    top = max(float(body.groups[..., 1].max()) for body in flat_four.bodies)

    def under(free):
        bonnet = KeepOutPlane(name="bonnet", normal=(0, -1, 0), offset_mm=-(top + free))
        return replace(flat_four, room=replace(flat_four.room, planes=(*flat_four.room.planes, bonnet)))

    held = judged(under(15.01), "fit.lift_off")["bank.left+bank.right"]
    fouls = judged(under(14.0), "fit.lift_off")["bank.left+bank.right"]
    assert (held.verdict, fouls.verdict) == ("ok", "stop")
    assert "off the heads" in fouls.message


def test_warm_it_grows_from_the_middle_between_the_heads(flat_four):
    """Each hole wanders by its distance, in its head's plane, from the middle of both heads' screws: by hand."""
    design, sheet = flat_four.design, flat_four.sheet
    screws = [screw for screw in design.screws if screw.joint.startswith("head.")]
    middle = np.mean([screw.seat_mm for screw in screws], axis=0)
    joint = next(joint for joint in design.joints if joint.name == "head.left")
    wandered = wandered_mm(design, joint, sheet)
    share = wandered["head.left.s1"] / _off(joint, screws, "head.left.s1", middle)
    for screw in screws:
        if screw.joint == joint.name:
            assert wandered[screw.name] == pytest.approx(share * _off(joint, screws, screw.name, middle))


def _off(joint, screws, name, middle):
    away = np.array(next(screw.seat_mm for screw in screws if screw.name == name)) - middle
    normal = np.array(joint.frame.z)
    return float(np.linalg.norm(away - normal * (away @ normal)))
