"""What a sheet says: units, defaults that lean on other values, messages for mistakes of form."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tractwright.errors import Fault, SheetError
from tractwright.job.read import read_sheet
from tractwright.job.sheet import JobSheet

TEN_LINES = """\
[job]
name = "ten-lines"
[engine]
cylinders = 4
bore = "86 mm"
stroke = "86 mm"
[pattern]
pitch = "3.7 in"
port_width = "50 mm"
screw_rise = "40 mm"
"""


def sheet_of(text: str, folder: Path) -> JobSheet:
    (folder / "job.toml").write_text(text, encoding="utf-8")
    return read_sheet(folder)


def faults_of(text: str, folder: Path) -> tuple[Fault, ...]:
    with pytest.raises(SheetError) as caught:
        sheet_of(text, folder)
    return caught.value.faults


def test_ten_lines_are_enough(tmp_path: Path) -> None:
    sheet = sheet_of(TEN_LINES, tmp_path)
    assert sheet.pattern is not None
    assert sheet.engine is not None
    assert sheet.pattern.pitch_mm == pytest.approx(93.98)  # 3.7 x 25.4
    assert sheet.engine.firing_order == (1, 3, 4, 2)
    assert sheet.engine.rod_length_mm == pytest.approx(1.65 * 86)


def test_folder_and_file_are_the_same_job(tmp_path: Path) -> None:
    assert sheet_of(TEN_LINES, tmp_path) == read_sheet(tmp_path / "job.toml")


def test_boost_is_gauge_and_ambient_absolute(tmp_path: Path) -> None:
    air = sheet_of(TEN_LINES + '[air]\nboost = "17 psi"\n', tmp_path).air
    assert air.boost_bar == pytest.approx(1.17211, abs=1e-5)  # 17 x 6894.757 Pa (NIST SP 811, appendix B.8)
    assert air.ambient_bar == pytest.approx(1.013)
    assert air.charge_degc == 50.0


def test_charge_is_cold_without_boost(tmp_path: Path) -> None:
    assert sheet_of(TEN_LINES, tmp_path).air.charge_degc == 25.0


@pytest.mark.parametrize("cylinders", range(1, 9))
def test_usual_firing_orders_name_each_cylinder_once(cylinders: int, tmp_path: Path) -> None:
    sheet = sheet_of(TEN_LINES.replace("cylinders = 4", f"cylinders = {cylinders}"), tmp_path)
    assert sheet.engine is not None
    assert sorted(sheet.engine.firing_order) == list(range(1, cylinders + 1))


def test_a_byte_order_mark_and_windows_lines_do_no_harm(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_bytes(b"\xef\xbb\xbf" + TEN_LINES.replace("\n", "\r\n").encode())
    assert read_sheet(tmp_path) == sheet_of(TEN_LINES, tmp_path)


MISTAKES: list[tuple[str, str, str, int]] = [
    # lines added, key, words of what is accepted, line
    ("[room.plane]\nname = 'p'\n", "room.plane", "[[room.plane]]", 11),
    ("[[head]]\ngasket = 1\n", "head", "[head]", 11),
    ("[head]\nmaterial = 'cast iron'\ngaskets = 1\n", "head.gaskets", "did you mean gasket?", 13),
    ("[head]\nnonsense = 1\n", "head.nonsense", "material, gasket, flange", 12),
    ("[nonsense]\n", "nonsense", "tables: job, engine", 11),
    ("[plenum]\nat = [0, 120]\n", "plenum.at", "a list of three", 12),
    ("[plenum]\nat = [\n 0,\n '1 psi',\n 3,\n]\n", "plenum.at[2]", "mm", 14),
    ("[plenum]\ndirection = 3\n", "plenum.direction", "a list of three", 12),
    ("[room]\nclearance = nan\n", "room.clearance", "mm", 12),
    ("[plenum]\nat = [inf, 0, 10]\n", "plenum.at[1]", "mm", 12),
    ("[room]\nuse_scan = 1\n", "room.use_scan", "true or false", 12),
    ("[throttle]\nhole_thread = 6\n", "throttle.hole_thread", "text", 12),
    ("[shop]\nrate_hour = '75'\n", "shop.rate_hour", "a number", 12),
    ("[shop]\nrate_hour = true\n", "shop.rate_hour", "a number", 12),
    (
        "[shop]\ncutter = [{ name = 'a', kind = 'ball', diameter = 6, neck = 5 }]\n",
        "shop.cutter[1].stickout",
        "a length",
        12,
    ),
    ("[scan]\nunit = 'mm'\n", "scan.file", "scan.stl", 11),
    ("runner.length = '9 m'\n", "pattern.runner", "known in [pattern]", 11),
    ("[shop]\ntravel = []\n", "shop.travel", "a list of three", 12),
    ("[[room.box]]\nname = 'a'\nlow = [0,0,0]\nhigh = [1,1,'x']\n", "room.box[1].high[3]", "mm", 14),
    ("[[room.box]]\nlow = [0,0,0]\nhigh = [1,1,1]\n", "room.box[1].name", "alternator", 11),
]


@pytest.mark.parametrize(("added", "key", "words", "line"), MISTAKES, ids=[case[1] for case in MISTAKES])
def test_mistakes_of_form(added: str, key: str, words: str, line: int, tmp_path: Path) -> None:
    (fault,) = faults_of(TEN_LINES + added, tmp_path)
    assert (fault.key, fault.line) == (key, line)
    assert words in fault.accepted


def test_a_converted_value_shows_what_it_became(tmp_path: Path) -> None:
    (fault,) = faults_of(TEN_LINES + '[head]\ngasket = "1 in"\n', tmp_path)
    assert fault.given == '"1 in", which is 25.4 mm'


def test_values_that_lean_on_a_fault_are_not_faults_themselves(
    keys_at_fault: Callable[[dict[str, Any]], list[str]],
) -> None:
    assert keys_at_fault({"engine.bore": 7}) == ["engine.bore"]
    assert keys_at_fault({"pattern.port_width": "x"}) == ["pattern.port_width"]


def test_inline_tables_and_dotted_keys_read_the_same(tmp_path: Path) -> None:
    other = """\
job.name = "ten-lines"
engine = { cylinders = 4, "bore" = '86 mm', stroke = 86.0 }
pattern.pitch = "3.7 in"
pattern.port_width = 50
pattern.screw_rise = 40
"""
    assert sheet_of(other, tmp_path) == sheet_of(TEN_LINES, tmp_path)
