"""Held values that no manifold can have are faults with their line; whatever can be had is left to the rules."""

from pathlib import Path

import pytest

from tractwright.design.file import read_held
from tractwright.errors import SheetError


def _read(folder: Path, table: str, line: str):
    path = folder / "design.toml"
    path.write_text(f"[{table}]\n{line}\n", encoding="utf-8")
    return read_held(path, folder / "copy.toml")


@pytest.mark.parametrize(
    ("table", "field", "value", "accepted"),
    [
        ("plenum.plenum", "depth_mm", "-70.0", "above 0"),
        ("plenum.plenum", "wall_mm", "0.0", "above 0"),
        ("plenum.plenum", "volume_l", "-1.0", "above 0"),
        ("screw.head.s1", "torque_nm", "-5.0", "not below 0"),
        ("screw.head.s1", "property_class", '"9.9"', "8.8"),
        ("screw.head.s1", "thread", '"M9"', "M8"),
        ("throttle.plenum", "hole_thread", '"M6.5"', "M6"),
        ("piece.cover", "material", '"unobtainium"', "6061-T651"),
        ("seal.cover", "section_mm", "2.5", "2.62"),
        ("runner.r1", "wall_mm", "[[0.0, 4.0], [1.0, -4.0]]", "above 0"),
        ("runner.r1", "area_mm2", "[[0.0, 900.0], [0.6, 900.0], [0.4, 900.0], [1.0, 900.0]]", "rise from 0 to 1"),
        ("runner.r1", "area_mm2", "[[0.2, 900.0], [1.0, 900.0]]", "rise from 0 to 1"),
        ("runner.r1.mouth", "bore_mm", "0.0", "above 0"),
    ],
)
def test_what_no_manifold_can_have_is_a_fault(tmp_path: Path, table: str, field: str, value: str, accepted: str):
    with pytest.raises(SheetError) as caught:
        _read(tmp_path, table, f'{field} = {{ value = {value}, is = "held" }}')
    (fault,) = caught.value.faults
    assert fault.key == f"{table}.{field}"
    assert accepted in fault.accepted
    assert fault.line == 2


@pytest.mark.parametrize(
    ("table", "field", "value"),
    [
        ("plenum.plenum", "depth_mm", "0.1"),
        ("screw.head.s1", "standoff_mm", "-4.0"),
        ("screw.head.s1", "torque_nm", "0.0"),
        ("seal.head", "section_mm", "0.8"),
        ("seal.cover", "section_mm", "3.53"),
        ("piece.cover", "material", '"7075-T651"'),
        ("runner.r1", "wall_mm", "[[0.0, 0.5], [1.0, 0.5]]"),
    ],
)
def test_what_can_be_had_is_left_to_the_rules(tmp_path: Path, table: str, field: str, value: str):
    held = _read(tmp_path, table, f'{field} = {{ value = {value}, is = "held" }}')
    assert held.held_paths() == (f"{table}.{field}",)


def test_solved_values_are_not_asked(tmp_path: Path):
    assert not _read(tmp_path, "plenum.plenum", 'depth_mm = { value = -70.0, is = "solved" }').held_paths()
