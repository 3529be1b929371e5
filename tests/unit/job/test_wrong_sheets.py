"""25 sheets with one planted mistake each: one clear message each, at the line that carries the mark."""

import re
from pathlib import Path

import pytest

from tractwright.errors import Fault, SheetError
from tractwright.job.read import read_sheet

FOLDER = Path(__file__).parents[2] / "jobs" / "wrong_sheets"
SHEETS = sorted(FOLDER.glob("*.toml"))


def expected(text: str, what: str) -> str:
    found = re.search(rf"^# {what}: (.*)$", text, re.MULTILINE)
    assert found
    return found.group(1)


def faults_of(path: Path) -> tuple[Fault, ...]:
    with pytest.raises(SheetError) as caught:
        read_sheet(path)
    return caught.value.faults


def test_there_are_twenty_five() -> None:
    assert len(SHEETS) == 25


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_one_message_that_names_the_mistake(path: Path) -> None:
    text = path.read_text()
    marked = [number for number, line in enumerate(text.splitlines(), start=1) if "# <- the mistake" in line]
    (fault,) = faults_of(path)
    assert fault.key == expected(text, "key")
    assert expected(text, "given") in fault.given
    assert expected(text, "accepted") in fault.accepted
    assert [fault.line] == (marked or [0])


def test_no_two_messages_are_alike() -> None:
    said = {str(faults_of(path)[0]) for path in SHEETS}
    assert len(said) == len(SHEETS)


def test_all_mistakes_of_one_sheet_are_told_at_once(tmp_path: Path) -> None:
    sheet = tmp_path / "job.toml"
    sheet.write_text(
        """\
[job]
name = ""
[engine]
cylinders = 4
bore = "17 psi"
stroke = 86 mm
firing_order = [1, 2, 3, 3]
[heads]
gasket = 1
[pattern]
pitch = "94 mm"
port_width = "50 mm"
screw_rise = "34 mm"
[[pattern.screw]]
at = [0]
[[room.box]]
name = "a"
low = [0, 0, 0]
high = [1, 1, -1]
[joint]
thread = "M99"
cord = "9 mm"
"""
    )
    assert [(fault.line, fault.key) for fault in faults_of(sheet)] == [
        (2, "job.name"),
        (5, "engine.bore"),
        (6, "engine.stroke"),
        (7, "engine.firing_order"),
        (8, "heads"),
        (15, "pattern.screw[1].at"),
        (18, "room.box[1].low"),
        (21, "joint.thread"),
        (22, "joint.cord"),
    ]


def test_a_fault_of_form_in_one_item_hides_no_other_items_mistake(tmp_path: Path) -> None:
    """A box whose corner was no length kept the next box's turned corners, a boss without a name the next one's steps, from
    being told until it was mended: the sheet had to be read twice.
    """
    sheet = tmp_path / "job.toml"
    sheet.write_text(
        """\
[job]
name = "two of each"
[engine]
cylinders = 4
bore = "86 mm"
stroke = "86 mm"
[pattern]
pitch = "94 mm"
port_width = "50 mm"
screw_rise = "40 mm"
[[room.box]]
name = "one"
low = [0, 0, "near"]
high = [10, 10, 10]
[[room.box]]
name = "two"
low = [20, 0, 0]
high = [10, 10, 10]
[[boss]]
thread = "M99"
[[boss]]
name = "seat"
bore = 6
pocket = [[10, 8], [14, 10]]
""",
        encoding="utf-8",
    )
    told = {fault.key for fault in faults_of(sheet)}
    assert told == {"room.box[1].low[3]", "room.box[2].low", "boss[1].name", "boss[1].thread", "boss[2].pocket"}


def test_a_file_that_is_no_text(tmp_path: Path) -> None:
    sheet = tmp_path / "job.toml"
    sheet.write_bytes(b'[job]\nname = "\xff\xfe"\n')
    (fault,) = faults_of(sheet)
    assert "byte 14" in fault.given


def test_nothing_there(tmp_path: Path) -> None:
    (fault,) = faults_of(tmp_path)
    assert fault.given == "nothing there"
