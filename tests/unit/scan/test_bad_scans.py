"""Meshes that read well but are no scan of a part: each gives one clear line, soon, whatever its numbers are."""

import time

import numpy as np
import pytest
import trimesh

from tractwright.errors import ScanError
from tractwright.geometry.meshes import welded
from tractwright.geometry.meshfile import write_stl
from tractwright.job.sheet import JobSheet
from tractwright.scan.clean import cleaned, guessed_units, read_scan
from tractwright.scan.stage import pattern_and_room

SOON_S = 20.0


def soup(count: int, size: float, edge: float) -> np.ndarray:
    chance = np.random.default_rng(5)
    return (chance.uniform(0, size, (count, 1, 3)) + chance.normal(0, edge, (count, 3, 3))).astype(np.float32)


def connected_soup(count: int) -> np.ndarray:
    """Triangles between random ones of few points: every edge has many neighbours."""
    chance = np.random.default_rng(6)
    return chance.uniform(0, 400.0, (60, 3))[chance.integers(0, 60, (count, 3))].astype(np.float32)


def two_balls() -> np.ndarray:
    ball = trimesh.creation.icosphere(4, 60.0).triangles
    return np.concatenate([ball, ball + np.array([200.0, 0, 0])]).astype(np.float32)


BAD = {
    "not numbers": (np.full((50, 3, 3), np.nan, dtype=np.float32), "finite corners"),
    "one triangle": (np.array([[[0, 0, 0], [300, 0, 0], [0, 200, 0]]], dtype=np.float32), "no flat face|openings"),
    "no area": (np.repeat(soup(300, 300.0, 1.0)[:, :1], 3, axis=1), "with area"),
    "soup": (soup(40_000, 400.0, 3.0), "hang together"),
    "non-manifold soup": (connected_soup(20_000), "criss-cross"),
    "huge": (soup(2000, 1e30, 1e29), "finite corners"),
    "far": (soup(3000, 9e5, 3.0), "hang together|longest side"),
    "two parts": (two_balls(), "no flat face"),
}


@pytest.mark.parametrize("name", BAD)
@pytest.mark.parametrize("unit", [{}, {"unit": "mm"}])
def test_one_clear_line_soon(tmp_path, name, unit):
    triangles, reason = BAD[name]
    write_stl(tmp_path / "part.stl", triangles, "bad on purpose")
    sheet = JobSheet.model_validate({"job": {"name": "bad"}, "scan": {"file": "part.stl", **unit}})
    began = time.monotonic()
    with pytest.raises(ScanError) as raised:
        pattern_and_room(sheet, tmp_path)
    assert time.monotonic() - began < SOON_S
    assert "\n" not in str(raised.value)
    if unit:
        assert raised.match(reason)


def test_two_parts_in_one_file_are_said():
    found = cleaned(welded(two_balls()), "two.stl")
    assert found.parts == 2
    assert any("2 separate pieces" in note for note in found.notes())


@pytest.mark.parametrize(("factor", "unit"), [(1.0, "mm"), (0.1, "cm"), (0.001, "m")])
def test_the_unit_is_guessed_and_told(factor, unit):
    mesh = welded((two_balls() * factor).astype(np.float32))
    (name, *_), note = guessed_units(mesh, "two.stl")
    assert name == unit
    assert f"guessed as {unit}" in note
    assert "319 mm" in note


def test_a_unit_in_doubt_names_the_other():
    """32 is 320 mm in cm and 813 mm in inch: both are a manifold."""
    note = guessed_units(welded((two_balls() * 0.1).astype(np.float32)), "two.stl")[1]
    assert "inch would do as well" in note


def test_the_guess_is_made_by_the_bulk_not_by_strays(tmp_path):
    triangles = np.concatenate([two_balls(), np.full((2, 3, 3), 90_000.0, dtype=np.float32) + soup(2, 1.0, 2.0)])
    write_stl(tmp_path / "part.stl", triangles, "strays far out")
    found = read_scan(tmp_path / "part.stl", None)
    assert "guessed as mm" in found.unit_note
    assert found.stray_parts == 2
    assert len(found.dropped_mm) == 6
