"""A boss that the sheet puts on a wall without saying where finds free ground, clear of keys, columns, necks and others."""

from pathlib import Path

import pytest
from check_cases import SHEET, described_case, with_values

from tractwright.check.stage import look_ahead

WALLED = """
[[boss]]
name = "port"
wall = "{wall}"
thread = "{thread}"
"""
SECOND = """
[[boss]]
name = "second"
wall = "side_2"
thread = "M6"
"""


def told(folder: Path, bosses: str) -> list[tuple[str, str, str]]:
    findings = look_ahead(described_case(folder, SHEET + bosses))
    return [(f.rule, f.subject, f.verdict) for f in findings if f.verdict != "ok"]


@pytest.mark.parametrize("wall", ["side_1", "side_2", "end_2", "top"])
@pytest.mark.parametrize("thread", ["M6", "M10x1", "1/8 NPT"])
def test_a_boss_on_any_wall_finds_a_place_by_itself(tmp_path: Path, wall: str, thread: str):
    """On the long walls one stood over the rim's screws, whose bent keys then could not swing, or in a cover screw's column:
    places were only looked for up to 16 mm from the wall's middle, and keys were not looked at. On a wall between columns
    that stand near, roots may run together, which is a look.
    """
    found = told(tmp_path, WALLED.format(wall=wall, thread=thread))
    assert [item for item in found if item != ("fit.boss_foot", "boss.port.plenum", "look")] == []
    assert not found or (wall, thread) in {
        (w, t) for w in ("side_1", "side_2", "end_2") for t in ("M10x1", "1/8 NPT")
    } | {("end_2", "M6")}


def test_two_bosses_on_one_wall_stand_beside_each_other(tmp_path: Path):
    """Both were put in the middle of the wall, one in the other."""
    assert told(tmp_path, WALLED.format(wall="side_2", thread="M6") + SECOND) == []


def test_a_wide_boss_between_columns_is_raised_until_its_spanner_turns(tmp_path: Path):
    """The socket of a 3/8 NPT fitting met the columns of the cover's screws beside it; over them it turns freely."""
    case = described_case(tmp_path, SHEET + WALLED.format(wall="side_1", thread="3/8 NPT"))
    (way,) = (found for found in look_ahead(case) if found.rule == "join.boss_way")
    assert way.verdict == "stop"
    assert way.fix is not None
    raised = with_values(case, {way.fix.path: way.fix.value})
    (way,) = (found for found in look_ahead(raised) if found.rule == "join.boss_way")
    assert way.verdict == "ok"
