"""The book of planted mistakes: each finds its rule and subject and no other stop; without it the finding is gone.

mistakes/*.toml hold one known mistake of the trade each, as an edit to a sound manifold (of three cylinders, or `on` six, or
`on` mouths: three with a throttle body on each): to its sheet, to a number held in its design.toml, or to the description
itself. `subject` may hold * and ? for names that do not matter; `told_too` names rules that rightly stop for the same cause.
"""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any

import numpy as np
import on_mouths
import pytest
import tomlkit
from check_cases import SHEET, WANTED, described_case, with_values

from tractwright.check.case import Case
from tractwright.check.finding import Finding
from tractwright.check.stage import all_rules, look_ahead
from tractwright.geometry.frames import vec3

BOOK = [
    mistake
    for page in sorted((Path(__file__).parent / "mistakes").glob("*.toml"))
    for mistake in tomllib.loads(page.read_text(encoding="utf-8"))["mistake"]
]

SIX = SHEET
for _three, _six in (
    ("invented three", "invented six"),
    ("cylinders = 3", "cylinders = 6"),
    ('volume = "1.6 l"', 'volume = "3 l"'),
    ('bore = "52 mm"', 'bore = "70 mm"'),
):
    SIX = SIX.replace(_three, _six)
SHEETS = {
    "three": (SHEET, WANTED),
    "six": (SIX, replace(WANTED, plenum_volume_l=3.0, throttle_bore_mm=70.0)),
    "mouths": (on_mouths.SHEET, on_mouths.WANTED),
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("mistakes")


@pytest.fixture(scope="module")
def sound(folder: Path) -> Case:
    """The manifold that every mistake is planted in."""
    return described_case(folder, SHEET)


@pytest.fixture(scope="module")
def of_sound(sound: Case) -> tuple[Finding, ...]:
    return look_ahead(sound)


def test_the_manifold_is_sound(of_sound):
    assert {finding.verdict for finding in of_sound} == {"ok"}


def test_the_book_is_long_enough_and_tells_of_each_mistake_once():
    assert len(BOOK) >= 60
    assert len({mistake["what"] for mistake in BOOK}) == len(BOOK)
    assert {mistake["rule"] for mistake in BOOK} <= {rule.id for rule in all_rules()}


@pytest.mark.parametrize("mistake", BOOK, ids=lambda mistake: mistake["what"])
def test_a_mistake_is_found_and_nothing_else_stops(mistake, sound, of_sound, folder):
    if "given" in mistake or "on" in mistake:
        of_sound = look_ahead(_described(mistake, folder, mistake.get("given", {})))
    findings = look_ahead(_planted(mistake, sound, folder))
    verdict = mistake.get("verdict", "stop")
    found = [finding for finding in findings if finding.verdict == verdict and _is_told_by(finding, mistake)]
    assert found, sorted((f.rule, f.subject, f.verdict) for f in findings if f.verdict != "ok")
    too = mistake.get("told_too", ())
    others = [f for f in findings if f.verdict == "stop" and not _is_told_by(f, mistake) and f.rule not in too]
    assert not others, [(f.rule, f.subject, f.measured, f.limit) for f in others]
    assert all(finding.message for finding in found)
    assert not [finding for finding in of_sound if finding.verdict == "stop"]
    assert not [finding for finding in of_sound if _is_told_by(finding, mistake) and finding.verdict != "ok"]


def test_most_rules_on_the_description_have_a_mistake_in_the_book():
    """Those without one judge courses and scans, which no number of a file says; pieces drawn already are planted with
    mistakes in the tests of their own rules.
    """
    told = {mistake["rule"] for mistake in BOOK}
    apart = ("own_", "mouth_straight")
    asked = {rule.id for rule in all_rules() if rule.needs == "description" and not any(a in rule.id for a in apart)}
    left = asked - told
    assert len(told) >= 70
    assert len(left) <= 14, sorted(left)


def _is_told_by(finding: Finding, mistake: Mapping[str, Any]) -> bool:
    return finding.rule == mistake["rule"] and fnmatchcase(finding.subject, mistake["subject"])


def _planted(mistake: Mapping[str, Any], sound: Case, folder: Path) -> Case:
    if "sheet" in mistake:
        return _described(mistake, folder, mistake["sheet"])
    if "hold" in mistake:
        held = {path: _tuples(value) for path, value in mistake["hold"].items()}
        return _described(mistake, folder, mistake.get("given", {}), held)
    ground = _described(mistake, folder, mistake.get("given", {})) if "on" in mistake else sound
    return _changed(ground, mistake["change"])


def _described(
    mistake: Mapping[str, Any], folder: Path, edits: Mapping[str, Any], held: Mapping[str, Any] | None = None
) -> Case:
    """The manifold a mistake is planted in, its sheet edited and numbers held."""
    text, wanted = SHEETS[mistake.get("on", "three")]
    return described_case(folder, _edited(text, edits), held=held, wanted=wanted)


def _edited(text: str, edits: Mapping[str, Any]) -> str:
    """The sheet with keys of its tables set."""
    document = tomllib.loads(text)
    for path, value in edits.items():
        table, _, key = path.partition(".")
        if key:
            document.setdefault(table, {})[key] = value
        else:
            document[table] = value
    return tomlkit.dumps(document)


def _changed(case: Case, edits: Mapping[str, Any]) -> Case:
    """The description with numbers changed, screws moved, or a whole group left out."""
    if "without" in edits:
        bare = replace(case, described=replace(case.described, design=replace(case.design, **{edits["without"]: ()})))
        return with_values(bare, {})
    return with_values(case, dict(_resolved(case, edits)))


def _resolved(case: Case, edits: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    seats = {f"screw.{screw.name}": screw.seat_mm for screw in case.design.screws}
    for path, value in edits.items():
        start, _, field = path.rpartition(".")
        if field == "move":
            yield f"{start}.seat_mm", vec3(np.array(seats[start]) + value)
        elif field == "move_to":
            yield f"{start}.seat_mm", seats[value]
        else:
            yield path, _tuples(value)


def _tuples(value: Any) -> Any:
    return tuple(_tuples(item) for item in value) if isinstance(value, list) else value
