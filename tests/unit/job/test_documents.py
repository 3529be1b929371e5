"""The published contract is what the program does: docs, schemas, the new sheet, the examples."""

import json
import re
import tomllib
from pathlib import Path

import jsonschema
import pytest

from tractwright.errors import SheetError
from tractwright.job.assume import assumed_values
from tractwright.job.document import SCHEMA_PATH, job_schema, schema_text, sheet_markdown
from tractwright.job.keys import table_at, tables
from tractwright.job.new import new_sheet_text, write_new
from tractwright.job.read import read_sheet

ROOT = Path(__file__).parents[3]
DOCS = ROOT / "docs" / "sheet.md"
EXAMPLES = sorted((ROOT / "examples").glob("*/job.toml"))
SHOWN = [
    block for block in re.findall(r"```toml\n(.*?)```", DOCS.read_text(encoding="utf-8"), re.DOTALL) if "[job]" in block
]
SCHEMA = jsonschema.Draft202012Validator(job_schema())
ONLY_WITH_OTHERS = {
    "port_points",  # needs port_shape = "loop"
    "intake_lift_at", "intake_lifts", "intake_flow_at", "intake_flow",  # two by two
    "firing_at",  # as many as cylinders
    "collector_length",  # needs primary_length
    "over", "balance_length",  # need two banks
}  # fmt: skip


def sheet_at_fault(text: str, folder: Path) -> str:
    """What is wrong with a sheet, '' for nothing."""
    (folder / "job.toml").write_text(text, encoding="utf-8")
    try:
        read_sheet(folder)
    except SheetError as found:
        return str(found)
    return ""


def test_docs_are_current() -> None:
    assert DOCS.read_text(encoding="utf-8") == sheet_markdown(), "python -m tractwright.job.document docs/sheet.md"


def test_schema_is_current() -> None:
    assert SCHEMA_PATH.read_text(encoding="utf-8") == schema_text(job_schema()), "python -m tractwright.job.document"


def test_docs_name_every_table_and_key() -> None:
    text = DOCS.read_text(encoding="utf-8")
    for table in tables():
        section = text.partition(f"### `{table.heading}`\n")[2].partition("###")[0]
        assert all(f"| `{key.name}` |" in section for key in table.keys), table.heading


def test_docs_show_six_kinds_of_job() -> None:
    assert len(SHOWN) == 6


@pytest.mark.parametrize("text", SHOWN)
def test_sheets_shown_in_the_docs_are_sound(text: str, tmp_path: Path) -> None:
    assert sheet_at_fault(text, tmp_path) == ""
    SCHEMA.validate(tomllib.loads(text))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_examples_are_sound_and_say_they_are_invented(path: Path) -> None:
    read_sheet(path)
    text = path.read_text(encoding="utf-8")
    assert "invented" in text.splitlines()[0]
    SCHEMA.validate(tomllib.loads(text))


def test_the_examples() -> None:
    names = {
        "inline-three",
        "inline-four",
        "inline-six",
        "own-piece",
        "vee-six-central",
        "flat-four",
        "throttle-per-runner",
    }
    assert {path.parent.name for path in EXAMPLES} >= names


def test_the_schema_knows_limits_and_names() -> None:
    jsonschema.Draft202012Validator.check_schema(job_schema())
    good = {"job": {"name": "x"}}
    assert SCHEMA.is_valid(good)
    assert not SCHEMA.is_valid({})
    assert not SCHEMA.is_valid(good | {"runner": {"wall": 0.5}})
    assert not SCHEMA.is_valid(good | {"runner": {"length": 1200}})
    assert SCHEMA.is_valid(good | {"runner": {"length": 1199, "wall": "0.2 in"}})
    assert not SCHEMA.is_valid(good | {"runner": {"walls": 5}})
    assert not SCHEMA.is_valid(good | {"throttle": {"place": "left"}})


def test_a_new_sheet_runs_as_it_stands(tmp_path: Path) -> None:
    path = write_new(tmp_path / "fresh")
    sheet = read_sheet(path)
    assert len(assumed_values(sheet)) > 30
    SCHEMA.validate(tomllib.loads(path.read_text()))


def test_a_new_sheet_has_few_lines_to_fill_in() -> None:
    active = [line for line in new_sheet_text().splitlines() if line and not line.startswith(("#", "["))]
    assert len(active) == 8


def test_an_old_sheet_is_not_written_over(tmp_path: Path) -> None:
    path = write_new(tmp_path)
    path.write_text("mine")
    with pytest.raises(SheetError, match="a sheet is there already"):
        write_new(tmp_path)
    assert path.read_text() == "mine"


def test_a_new_sheet_offers_every_key() -> None:
    text = new_sheet_text()
    for table in tables():
        block = re.split(rf"^(?:# )?{re.escape(table.heading)}$", text, flags=re.MULTILINE)[1].partition("\n\n")[0]
        assert all(re.search(rf"^(# )?{key.name} = ", block, re.MULTILINE) for key in table.keys), table.heading


def offered_lines() -> list[int]:
    lines = new_sheet_text().splitlines()
    return [
        n for n, line in enumerate(lines) if re.match(r"# \w+ = ", line) and line.split()[1] not in ONLY_WITH_OTHERS
    ]


def test_each_offered_line_is_sound_when_its_mark_is_taken_away(tmp_path: Path) -> None:
    lines = new_sheet_text().splitlines()
    table: str = ""
    for number, line in enumerate(lines):
        heading = re.match(r"(# )?(\[+[\w.]+\]+)$", line)
        if heading:
            table = heading.group(2) if not heading.group(1) else ""
        if table and number in offered_lines():
            tried = "\n".join((*lines[:number], line[2:], *lines[number + 1 :]))
            assert sheet_at_fault(tried, tmp_path) == "", line


@pytest.mark.parametrize("heading", ["scan", "room.box", "room.plane", "shop.cutter", "pattern.screw"])
def test_each_offered_table_is_sound_when_its_marks_are_taken_away(heading: str, tmp_path: Path) -> None:
    table = table_at(tuple(heading.split(".")))
    assert table is not None
    before, mark, after = new_sheet_text().partition(f"# {table.heading}\n")
    block, gap, rest = after.partition("\n\n")
    plain = "\n".join(line[2:] if re.match(r"# \w+ = ", line) else line for line in block.splitlines())
    assert sheet_at_fault(before + mark[2:] + plain + gap + rest, tmp_path) == ""


def test_the_schema_file_is_json() -> None:
    assert json.loads(SCHEMA_PATH.read_text(encoding="utf-8"))["$id"] == "tractwright-job-1"
