"""A user's edit becomes held; solved values are rewritten; comments stay; mistakes are told with their line."""

import json
import tomllib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest

from tractwright.design.file import Held, read_design, read_held, unheeded, write_design
from tractwright.design.paths import value_at
from tractwright.design.records import Design
from tractwright.design.schema import SCHEMA_PATH, design_schema
from tractwright.design.text import design_text
from tractwright.errors import Fault, SheetError
from tractwright.job.document import schema_text


@pytest.fixture
def design(bend: Callable[..., Design]) -> Design:
    return bend(radius_mm=80.0, bore_mm=44.0, lead_mm=25.0)


@pytest.fixture
def files(design: Design, tmp_path: Path) -> tuple[Path, Path]:
    """The description beside the sheet and the copy in the packet, as a run leaves them."""
    own, copy = tmp_path / "design.toml", tmp_path / "copy.toml"
    write_design(design, own)
    copy.write_text(design_text(design), encoding="utf-8")
    return own, copy


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    path.write_text(text.replace(old, new), encoding="utf-8")


def faults_of(files: tuple[Path, Path]) -> tuple[Fault, ...]:
    with pytest.raises(SheetError) as caught:
        read_held(*files)
    return caught.value.faults


def test_no_file_holds_nothing(tmp_path: Path) -> None:
    assert read_held(tmp_path / "design.toml", tmp_path / "copy.toml") == Held()


def test_an_untouched_file_holds_nothing(files: tuple[Path, Path]) -> None:
    assert read_held(*files).held_paths() == ()


def test_an_edited_number_is_held(files: tuple[Path, Path]) -> None:
    edit(files[0], "depth_mm = 70.0", "depth_mm = 75")
    held = read_held(*files)
    assert held.held_paths() == ("plenum.plenum.depth_mm",)
    assert held.number("plenum.plenum.depth_mm", 1.0) == 75.0
    assert held.number("plenum.plenum.floor_mm", 10.0) == 10.0


def test_the_same_number_written_otherwise_is_no_edit(files: tuple[Path, Path]) -> None:
    edit(files[0], "depth_mm = 70.0", "depth_mm = 7e1")
    assert read_held(*files).held_paths() == ()


def test_an_edited_vector_is_held(files: tuple[Path, Path]) -> None:
    edit(files[0], "centre_mm = [0.0, 0.0]", "centre_mm = [2, -1.5]")
    assert read_held(*files).get("plenum.plenum.centre_mm", None) == (2.0, -1.5)


def test_marks_win_over_comparing(files: tuple[Path, Path]) -> None:
    edit(files[0], "depth_mm = 70.0", 'depth_mm = { value = 70.0, is = "held" }')
    edit(files[0], "floor_mm = 10.0", 'floor_mm = { value = 99.0, is = "solved" }')
    edit(files[0], "wall_mm = 5.0", 'wall_mm = { value = 6.0, is = "assumed" }')
    assert read_held(*files).values == {"plenum.plenum.depth_mm": 70.0, "plenum.plenum.wall_mm": 6.0}


def test_without_the_copy_only_marks_count(files: tuple[Path, Path]) -> None:
    edit(files[0], "depth_mm = 70.0", "depth_mm = 75.0")
    files[1].unlink()
    assert read_held(*files).held_paths() == ()
    edit(files[0], "depth_mm = 75.0", 'depth_mm = { value = 75.0, is = "held" }')
    assert read_held(*files).held_paths() == ("plenum.plenum.depth_mm",)


def test_a_deleted_line_is_given_back(files: tuple[Path, Path]) -> None:
    edit(files[0], "depth_mm = 70.0\n", "")
    assert read_held(*files).held_paths() == ()


def test_a_hold_outlives_the_next_run_and_a_solved_number_does_not(design: Design, files: tuple[Path, Path]) -> None:
    edit(files[0], "depth_mm = 70.0", "depth_mm = 75.0  # the box I have in stock")
    edit(files[0], "[runner.r1]", "# the only one\n[runner.r1]")
    held = read_held(*files)
    plenum = replace(design.plena[0], depth_mm=75.0, volume_l=0.81)
    after = replace(design, plena=(plenum,), standing=dict.fromkeys(held.held_paths(), "held"))
    write_design(after, files[0])
    text = files[0].read_text(encoding="utf-8")
    assert 'depth_mm = {value = 75.0, is = "held"}  # the box I have in stock' in text
    assert "# the only one\n[runner.r1]" in text
    assert "volume_l = 0.81" in text
    assert read_design(files[0]).plena[0].volume_l == 0.81
    files[1].write_text(design_text(after), encoding="utf-8")
    assert read_held(*files).values == held.values


def test_a_fact_of_the_sheet_is_written_plainly(design: Design, tmp_path: Path) -> None:
    fact = replace(design, standing={"runner.r1.length_mm": "fact"})
    assert design_text(fact) == design_text(design)


def test_what_the_description_does_not_follow_is_named(design: Design) -> None:
    held = Held(values={"plenum.plenum.depth_mm": 75.0, "runner.r9.length_mm": 300.0, "plenum.plenum.wall_mm": 5.0})
    assert unheeded(held, design) == ("plenum.plenum.depth_mm", "runner.r9.length_mm")


def test_a_length_is_followed_as_nearly_as_courses_are_laid(design: Design) -> None:
    """A runner held 300 mm long came out as 300.18 mm, and the page said that nothing had come of it."""
    made = design.runners[0].length_mm
    for share, left in ((1.0019, ()), (1.0025, ("runner.r1.length_mm",))):
        assert unheeded(Held(values={"runner.r1.length_mm": made * share}), design) == left


def test_wishes_set_without_holding() -> None:
    held = Held(values={"a.b.c": 1.0}).with_wishes({"a.b.c": 2.0, "a.b.d": 3.0})
    assert (held.number("a.b.c", 9.0), held.number("a.b.d", 9.0), held.number("a.b.e", 9.0)) == (1.0, 3.0, 9.0)
    assert held.is_held("a.b.c")
    assert not held.is_held("a.b.d")


MISTAKES = [
    # old, new, key, words of what is accepted
    ("depth_mm = 70.0", 'depth_mm = "deep"', "plenum.plenum.depth_mm", "a number"),
    ("depth_mm = 70.0", "depth_mm = true", "plenum.plenum.depth_mm", "a number"),
    ("depth_mm = 70.0", "depth_mm = inf", "plenum.plenum.depth_mm", "a number"),
    ("depth_mm = 70.0", "dept_mm = 70.0", "plenum.plenum.dept_mm", "did you mean depth_mm?"),
    ("depth_mm = 70.0", 'depth_mm = { value = 70.0, is = "fixed" }', "plenum.plenum.depth_mm", "'held'"),
    ("depth_mm = 70.0", 'depth_mm = { is = "held" }', "plenum.plenum.depth_mm", "value"),
    ("depth_mm = 70.0", "depth_mm = 70 mm", "plenum.plenum.depth_mm", "quotes"),
    ("centre_mm = [0.0, 0.0]", "centre_mm = [0.0]", "plenum.plenum.centre_mm", "a list of 2: a number"),
    ("centre_mm = [0.0, 0.0]", "centre_mm = 0.0", "plenum.plenum.centre_mm", "a list of 2: a number"),
    ("cylinders = [1]", "cylinders = [1.5]", "port.p1.cylinders", "a whole number"),
    ('kind = "head"\nmaterial', 'kind = "tail"\nmaterial', "piece.head.kind", '"head" or'),
    ("[runner.r1]", "[runer.r1]", "runer.r1.bank", "did you mean runner?"),
]


@pytest.mark.parametrize(("old", "new", "key", "words"), MISTAKES)
def test_mistakes_are_told_with_their_line(old: str, new: str, key: str, words: str, files: tuple[Path, Path]) -> None:
    edit(files[0], old, new)
    lines = files[0].read_text(encoding="utf-8").splitlines()
    fault = next(fault for fault in faults_of(files) if fault.key == key)
    assert words in fault.accepted
    first = new.splitlines()[0]
    assert first in lines[fault.line - 1] or first in lines[fault.line - 2]


def test_a_record_that_is_not_there_is_told(files: tuple[Path, Path]) -> None:
    with files[0].open("a", encoding="utf-8") as file:
        file.write("\n[runner.r11]\nlength_mm = 300.0\n")
    (fault,) = faults_of(files)
    assert (fault.key, fault.accepted) == ("runner.r11", "did you mean r1?")


def test_what_an_older_version_wrote_into_both_is_passed_over(files: tuple[Path, Path]) -> None:
    for path in files:
        edit(path, "depth_mm = 70.0", "depth_mm = 70.0\nold_mm = 3.0")
    assert read_held(*files).held_paths() == ()
    edit(files[0], "old_mm = 3.0", "old_mm = 4.0")
    assert [fault.key for fault in faults_of(files)] == ["plenum.plenum.old_mm"]


def test_names_with_points_are_found_either_way(design: Design, tmp_path: Path) -> None:
    path = tmp_path / "design.toml"
    path.write_text(
        '[screw.head.s1]\nstandoff_mm = { value = 4, is = "held" }\n[screw."head.s2"]\nhead = {value = "hex", is = "held"}\n'
    )
    held = read_held(path, tmp_path / "none.toml")
    assert held.values == {"screw.head.s1.standoff_mm": 4.0, "screw.head.s2.head": "hex"}


def test_a_whole_description_misses_nothing(files: tuple[Path, Path], design: Design) -> None:
    assert read_design(files[0]).runners[0].name == "r1"
    edit(files[0], "depth_mm = 70.0\n", "")
    with pytest.raises(SheetError, match=r"plenum\.plenum\.depth_mm: given nothing"):
        read_design(files[0])


def test_same_description_same_bytes(design: Design, files: tuple[Path, Path]) -> None:
    before = files[0].read_bytes()
    write_design(design, files[0])
    assert files[0].read_bytes() == before == files[1].read_bytes()


def test_lengths_are_rounded_to_a_millionth(design: Design, tmp_path: Path) -> None:
    design = replace(design, plena=(replace(design.plena[0], depth_mm=70.00000012345, wall_mm=-0.0),))
    write_design(design, tmp_path / "design.toml")
    assert "depth_mm = 70.0\n" in (tmp_path / "design.toml").read_text()
    assert "wall_mm = 0.0\n" in (tmp_path / "design.toml").read_text()


def test_a_file_too_unusual_to_write_over_keeps_its_comments(design: Design, files: tuple[Path, Path]) -> None:
    files[0].write_text("# kept word\nrunner.r1.length_mm = 3\n[plenum]\nplenum = { depth_mm = 70.0 } # and this\n")
    write_design(design, files[0])
    text = files[0].read_text(encoding="utf-8")
    assert "# kept word" in text
    assert "# and this" in text
    again = read_design(files[0])
    assert again.plena[0].depth_mm == 70.0
    assert value_at(again, "runner.r1.mouth.bore_mm") == 44.0


def test_schema_is_current_and_fits(files: tuple[Path, Path]) -> None:

    assert SCHEMA_PATH.read_text(encoding="utf-8") == schema_text(design_schema()), (
        "python -m tractwright.design.schema"
    )
    schema = json.loads(SCHEMA_PATH.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    data = tomllib.loads(files[0].read_text(encoding="utf-8"))
    assert validator.is_valid(data)
    data["plenum"]["plenum"]["depth_mm"] = {"value": 75.0, "is": "held"}
    assert validator.is_valid(data)
    data["plenum"]["plenum"]["depth_mm"] = "deep"
    assert not validator.is_valid(data)
