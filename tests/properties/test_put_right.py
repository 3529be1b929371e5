"""Faults put right on a whole manifold: solved numbers changed and logged, held ones proposed for, and no going back."""

from collections.abc import Mapping
from pathlib import Path

import pytest
from check_cases import SHEET, WANTED

from tractwright.check.finding import Finding
from tractwright.check.stage import PutRight, description_case, look_ahead, number_at, put_right
from tractwright.design.file import Held
from tractwright.job.read import read_sheet
from tractwright.route.records import JobFacts
from tractwright.scan.stage import pattern_and_room

NARROW = {"plenum.plenum.width_mm": 208.0}
"""A plenum held so narrow that the roundings of the outer mouths run into its end walls."""
LIPS = ("runner.r1.mouth.lip_radius_mm", "runner.r3.mouth.lip_radius_mm")


def _right(folder: Path, held: Mapping[str, float]) -> tuple[PutRight, tuple[Finding, ...]]:
    """The job with these numbers held, put right, and what is left to say of it."""
    (folder / "job.toml").write_text(SHEET.replace('lip_radius = "7 mm"', ""), encoding="utf-8")
    sheet = read_sheet(folder)
    pattern, room = pattern_and_room(sheet, folder)
    right = put_right(JobFacts(sheet=sheet, pattern=pattern, room=room, wanted=WANTED, held=Held(values=held)))
    return right, look_ahead(description_case(sheet, pattern, room, WANTED, right.described))


@pytest.fixture(autouse=True)
def _cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path / "cache"))


def test_a_solved_number_gives_way_to_a_held_one(tmp_path: Path):
    """The lips were the tool's own: smaller ones are cut, each is logged with its rule, and the held width stands."""
    right, findings = _right(tmp_path, NARROW)
    assert [(change.rule, change.path) for change in right.changes] == [("air.lip_room", path) for path in LIPS]
    assert all(float(change.after) < float(change.before) for change in right.changes)
    assert not [finding for finding in findings if finding.verdict == "stop"]
    assert number_at(right.described.design, "plenum.plenum.width_mm") == 208.0


def test_a_rule_that_wants_the_number_back_only_proposes(tmp_path: Path):
    """air.lip_radius would have the lips rounder again, and air.lip_room smaller then: it is told, and nothing swings."""
    right, findings = _right(tmp_path, NARROW)
    back = {finding.fix.path for finding in findings if finding.rule == "air.lip_radius" and finding.fix}
    assert back == set(LIPS)
    for change in right.changes:
        assert number_at(right.described.design, change.path) == pytest.approx(float(change.after))


def test_where_both_are_held_the_cure_is_proposed(tmp_path: Path):
    """Width and lips held: the stops stay, each with the lip that would do, and nothing is changed."""
    right, findings = _right(tmp_path, NARROW | dict.fromkeys(LIPS, 7.0))
    stops = [finding for finding in findings if finding.verdict == "stop"]
    assert right.changes == ()
    assert {finding.rule for finding in stops} == {"air.lip_room"}
    assert all(finding.fix is not None and finding.fix.path in LIPS for finding in stops)
