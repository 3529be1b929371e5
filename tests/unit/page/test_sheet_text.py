"""A fact typed on the page goes into the sheet as a person would write it, and nothing else of theirs moves."""

import pytest

from tractwright.errors import SheetError
from tractwright.job.read import read_sheet
from tractwright.page.sheet_text import facts_of, in_words, with_fact, with_rows

SHEET = """# mine
[job]
name = "invented"   # a car
[engine]
cylinders = 4
bore = "86 mm"
stroke = "86 mm"
[pattern]
pitch = "94 mm"
port_width = "50 mm"
screw_rise = "40 mm"
"""


def test_a_fact_is_changed_in_place_and_comments_stay():
    text = with_fact(SHEET, "engine.bore", "3.4 in")
    assert 'bore = "3.4 in"' in text
    assert text.replace('"3.4 in"', '"86 mm"') == SHEET


@pytest.mark.parametrize(
    ("path", "words", "written"),
    [
        ("air.boost", "17 psi", "17 psi"), ("runner.length", "300", 300), ("engine.cylinders", "6", 6),
        ("engine.firing_order", "1, 3, 4, 2", [1, 3, 4, 2]), ("throttle.place", "end_2", "end_2"),
        ("plenum.at", "0, 120 mm, 200", [0, "120 mm", 200]), ("scan.upside_down", "yes", True),
        ("engine.compression_ratio", "9.5", 9.5), ("joint.property_class", "10.9", "10.9"),
    ],
)  # fmt: skip
def test_words_become_what_the_sheet_holds(path, words, written):
    assert facts_of(with_fact(SHEET, path, words))[path] == written


def test_what_is_typed_reads_back_as_meant(tmp_path):
    text = with_fact(with_fact(SHEET, "air.boost", "17 psi"), "runner.length", "11.8 in")
    (tmp_path / "job.toml").write_text(text)
    sheet = read_sheet(tmp_path)
    assert sheet.air.boost_bar == pytest.approx(17 * 0.0689476, rel=1e-5)
    assert sheet.runner.length_mm == pytest.approx(299.72)


def test_empty_words_take_a_fact_out():
    assert "boost" not in with_fact(with_fact(SHEET, "air.boost", "17 psi"), "air.boost", " ")
    assert with_fact(SHEET, "runner.length", "") == SHEET


def test_rows_are_written_anew_and_taken_out():
    rows = [
        {"name": "wing", "low": "-10, 0, 40", "high": "10, 50, 90"},
        {"name": "bar", "low": "0,0,1", "high": "5,5,5"},
    ]
    text = with_rows(SHEET, "room.box", rows)
    assert [row["name"] for row in facts_of(text)["room.box"]] == ["wing", "bar"]
    assert facts_of(text)["room.box"][0]["low"] == [-10, 0, 40]
    assert "box" not in with_rows(text, "room.box", [])


def test_a_key_nobody_knows_and_a_text_that_is_none_are_refused():
    with pytest.raises(SheetError, match="a key of the sheet"):
        with_fact(SHEET, "engine.colour", "red")
    with pytest.raises(SheetError, match="can be read"):
        with_fact("[job", "engine.bore", "86")
    assert facts_of("[job") == {}


@pytest.mark.parametrize(("value", "words"), [(True, "yes"), (2.5, "2.5"), ([1, "2 mm"], "1, 2 mm"), ("a", "a")])
def test_values_as_a_field_shows_them(value, words):
    assert in_words(value) == words
