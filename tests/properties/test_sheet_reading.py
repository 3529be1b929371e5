"""Sheets at random: sound ones are read, spoilt ones are told of in full, and nothing else ever comes out."""

import tempfile
from pathlib import Path
from typing import Any

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from tractwright.errors import Fault, SheetError
from tractwright.job.assume import assumed_values
from tractwright.job.read import read_sheet
from tractwright.job.sheet import JobSheet
from tractwright.units import UNITS, read_quantity

FOLDER = Path(tempfile.mkdtemp())


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda value: round(value, 3))


@st.composite
def sound_sheets(draw: st.DrawFn) -> dict[str, Any]:
    """Facts as a shop could have them, most of the sheet silent."""
    bore = draw(numbers(60, 105))
    pitch = bore + draw(numbers(5, 16))
    width = draw(numbers(0.3, 0.75)) * bore
    height = max(8.1, width * draw(numbers(0.4, 1.2)))
    shape = draw(st.sampled_from(["circle", "oval", "rounded_rectangle", "d"]))
    engine = {"cylinders": draw(st.integers(1, 8)), "bore": bore, "stroke": bore * draw(numbers(0.7, 1.4))}
    engine |= draw(st.fixed_dictionaries({}, optional={"wanted_peak": numbers(1500, 11000)}))
    pattern = {"port_shape": shape, "port_width": width, "pitch": pitch, "screw_rise": max(width, height) / 2 + 12}
    if shape != "circle":
        pattern["port_height"] = height
    if shape in ("rounded_rectangle", "d") and draw(st.booleans()):
        pattern["port_corner_radius"] = 0.5 * min(width, height) * draw(numbers(0, 1))
    sheet: dict[str, Any] = {"job": {"name": "random"}, "engine": engine, "pattern": pattern}
    if draw(st.booleans()):
        sheet["air"] = {"boost": f"{draw(numbers(0, 40))} psi"}
    return sheet


def read(text: str) -> JobSheet:
    path = FOLDER / "job.toml"
    path.write_text(text, encoding="utf-8")
    return read_sheet(path)


def faults_of(text: str) -> tuple[Fault, ...]:
    """What is wrong with a sheet, () for nothing."""
    try:
        read(text)
    except SheetError as found:
        return found.faults
    return ()


@settings(deadline=None)
@given(sound_sheets())
def test_silent_values_are_never_at_fault(sheet: dict[str, Any]) -> None:
    found = read(tomlkit.dumps(sheet))
    assumed = {item.key for item in assumed_values(found)}
    said = {f"{table}.{key}" for table, keys in sheet.items() for key in keys}
    assert assumed.isdisjoint(said)
    assert "engine.rod_length" in assumed


@settings(max_examples=120, deadline=None)
@given(sound_sheets(), st.data())
def test_spoilt_text_gives_faults_that_say_something_or_a_sheet(sheet: dict[str, Any], data: st.DataObject) -> None:
    lines = tomlkit.dumps(sheet).split("\n")
    for _ in range(data.draw(st.integers(1, 4))):
        number = data.draw(st.integers(0, len(lines) - 1))
        line = lines[number]
        at = data.draw(st.integers(0, len(line)))
        piece = data.draw(
            st.sampled_from(["", '"', "[", "]", "=", " ", "x", "-", ".", "#", "{", "\\", "'", ",", "\x00", "é"])
        )
        lines[number] = line[:at] + piece + line[at + data.draw(st.integers(0, 2)) :]
    for fault in faults_of("\n".join(lines)):
        assert fault.key
        assert fault.given
        assert fault.accepted
        assert 0 <= fault.line <= len(lines)


MISTAKES = {
    "engine.bore": "17 psi",
    "engine.firing_order": [9],
    "engine.valves": 4,
    "air.boost": "-1 psi",
    "runner.wall": 0.5,
    "plenum.direction": [0, 0, 0],
    "throttle.place": "left",
    "head.material": "wood",
    "joint.thread": "M99",
    "joint.cord": 3.33,
    "room.box": [{"name": "a", "low": [0, 0, 0], "high": [0, 0, 0]}],
    "shop.travel": [1, 2],
}


@settings(deadline=None)
@given(st.sets(st.sampled_from(sorted(MISTAKES)), min_size=1))
def test_any_set_of_mistakes_is_told_in_full(chosen: set[str]) -> None:
    sheet: dict[str, Any] = {
        "job": {"name": "random"},
        "engine": {"cylinders": 4, "bore": 86, "stroke": 86},
        "pattern": {"pitch": 94, "port_width": 50, "screw_rise": 40},
    }
    for dotted in chosen:
        table, _, key = dotted.partition(".")
        sheet.setdefault(table, {})[key] = MISTAKES[dotted]
    told = [fault.key.partition("[")[0] for fault in faults_of(tomlkit.dumps(sheet))]
    assert sorted(told) == sorted(chosen)


@settings(deadline=None)
@given(st.sampled_from(sorted(UNITS)), st.floats(-1e6, 1e6), st.data())
def test_a_quantity_means_the_same_with_any_unit_it_is_written_in(unit: str, value: float, data: st.DataObject) -> None:
    spelling = data.draw(st.sampled_from(sorted(UNITS[unit])))
    one, none, two = (read_quantity(f"{step} {spelling}", unit) for step in (1, 0, 2))
    assert abs((two - one) - (one - none)) <= 1e-9 * max(abs(two), 1.0)
    typed = read_quantity(f"{value!r} {spelling}", unit)
    straight = none + value * (one - none)
    assert abs(typed - straight) <= 1e-9 * max(abs(typed), abs(straight), abs(none), 1e-300)
