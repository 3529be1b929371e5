"""Wrong sheets about throttle bodies on the mouths: each is told by its key, with what would do."""

from pathlib import Path

import pytest
from on_mouths import SHEET

from tractwright.errors import SheetError
from tractwright.job.assume import assumed_values
from tractwright.job.read import read_sheet


def faults(folder: Path, text: str) -> dict[str, tuple[str, str]]:
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    try:
        read_sheet(path)
    except SheetError as told:
        return {fault.key: (fault.given, fault.accepted) for fault in told.faults}
    return {}


def test_the_sheet_is_sound(tmp_path):
    assert faults(tmp_path, SHEET) == {}


@pytest.mark.parametrize(("table", "line", "key"), [
    ("plenum", 'volume = "2 l"', "plenum.volume"),
    ("plenum", "direction = [0, 1, 0]", "plenum.direction"),
    ("throttle", 'neck = "30 mm"', "throttle.neck"),
    ("throttle", "direction = [0, 0, 0]", "throttle.direction"),
    ("throttle", "at = [0, 10, -5]", "throttle.at"),
    ("runner", 'lip_radius = "8 mm"', "runner.lip_radius"),
    ("runner", 'bore = "45 mm"', "runner.bore"),
    ("air", 'boost = "0.5 bar"', "air.boost"),
])  # fmt: skip
def test_what_does_not_go_with_them(tmp_path, table, line, key):
    text = (
        SHEET.replace(f"[{table}]\n", f"[{table}]\n{line}\n")
        if f"[{table}]" in SHEET
        else f"{SHEET}[{table}]\n{line}\n"
    )
    assert list(faults(tmp_path, text)) == [key]


def test_boost_needs_a_box_that_keeps_it(tmp_path):
    assert faults(tmp_path, SHEET + '[air]\nboost = "0.5 bar"\nbox = "8 l"\n') == {}


@pytest.mark.parametrize(("pitch", "keys"), [("48.01 mm", []), ("47.99 mm", ["throttle.pitch"])])
def test_a_bank_has_metal_between_its_bores(tmp_path, pitch, keys):
    assert list(faults(tmp_path, SHEET.replace('pitch = "82 mm"\nbody', f'pitch = "{pitch}"\nbody'))) == keys


@pytest.mark.parametrize(("bore", "keys"), [("42.39 mm", []), ("42.41 mm", ["runner.bore"])])
def test_a_runner_is_as_wide_as_its_body(tmp_path, bore, keys):
    assert list(faults(tmp_path, SHEET.replace("[runner]\n", f'[runner]\nbore = "{bore}"\n'))) == keys


def test_two_heads_are_not_done_yet_and_it_is_said(tmp_path):
    banks = "".join(
        f'[[bank]]\nside = "{side}"\ncylinders = [{numbers}]\nrise = "40 deg"\nfrom_middle = "85 mm"\n'
        for side, numbers in (("left", "1, 2, 3"), ("right", "4, 5, 6"))
    )
    text = SHEET.replace("cylinders = 3", 'layout = "vee"\ncylinders = 6\nfiring_order = [1, 4, 2, 5, 3, 6]')
    found = faults(tmp_path, text + banks)
    assert list(found) == ["throttle.place"]
    assert "one head" in found["throttle.place"][1]


def test_without_an_engine_the_body_tells_the_bore(tmp_path):
    head, _, tail = SHEET.partition("[engine]")
    ports = "".join(f"[[pattern.port]]\nat = [{x}, 0]\n" for x in (-82, 0, 82))
    text = f"{head}{tail[tail.index('[pattern]') :].replace('pitch = ' + chr(34) + '82 mm' + chr(34) + chr(10), '', 1)}{ports}"
    assert faults(tmp_path, text) == {}


def test_nothing_is_assumed_of_a_plenum_that_is_not_there(tmp_path):
    (tmp_path / "job.toml").write_text(SHEET, encoding="utf-8")
    keys = {item.key for item in assumed_values(read_sheet(tmp_path))}
    assert not {key for key in keys if key.startswith("plenum.")}
    assert "throttle.neck" not in keys
