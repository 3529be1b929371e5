"""Slotted holes of the head flange: when they are cut, and that heads cover them."""

import pytest
from check_cases import SHEET, described_case

from tractwright.check.rules.join_slot_cover import LEAST_MM

IRON = '[head]\nmaterial = "cast iron"\nslots = "{}"\n'


@pytest.fixture(scope="module")
def outer(tmp_path_factory):
    return described_case(tmp_path_factory.mktemp("outer"), SHEET + IRON.format("outer"))


def test_outer_slots_leave_the_middle_round(outer):
    """Two rows of four columns: the four screws of the middle columns stand nearest to the middle."""
    screws = sorted((s for s in outer.design.screws if s.joint == "head"), key=lambda s: abs(s.seat_mm[0]))
    assert [screw.slot_mm for screw in screws] == [0.0] * 4 + [1.0] * 4


def test_growth_slots_are_cut_only_where_play_is_used_up(tmp_path):
    """23.6e-6 against cast iron's 11e-6 or so, over 130 mm and some 40 K: tenths at most, less than half a millimetre."""
    case = described_case(tmp_path, SHEET + IRON.format("growth"))
    assert all(screw.slot_mm == 0.0 for screw in case.design.screws)
    tight = {f"screw.{s.name}.clearance_mm": 8.05 for s in case.design.screws if s.joint == "head"}
    case = described_case(tmp_path, SHEET + IRON.format("growth"), tight)
    assert max(screw.slot_mm for screw in case.design.screws) == 0.5


def _slot_at(case, having, left_mm):
    """A washer for M8 is 16 mm across (ISO 7089), its hole 9 mm."""
    return having(case, {"screw.head.s1.slot_mm": 16.0 - 9.0 - 2 * left_mm, "screw.head.s1.washer": "ISO 7089"})


def test_join_slot_cover_holds_at_its_limit(outer, judged, having):
    finding = judged(_slot_at(outer, having, LEAST_MM), "join.slot_cover")["screw.head.s1"]
    assert (finding.measured, finding.verdict) == (pytest.approx(LEAST_MM), "ok")


def test_join_slot_cover_breaks_just_over(outer, judged, having):
    assert judged(_slot_at(outer, having, LEAST_MM - 0.01), "join.slot_cover")["screw.head.s1"].verdict == "look"


def test_a_slot_gives_the_warm_flange_play(outer, judged, having):
    """Half the slot on each side, added to the play of the round hole."""
    plain = judged(having(outer, {f"screw.{s.name}.slot_mm": 0.0 for s in outer.design.screws}), "join.growth")
    slotted = judged(having(outer, {f"screw.{s.name}.slot_mm": 1.0 for s in outer.design.screws}), "join.growth")
    assert slotted["joint.head"].limit == pytest.approx(plain["joint.head"].limit + 0.5)
