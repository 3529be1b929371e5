"""The whole job of a small three, from its sheet to its packet, once."""

import hashlib
import json
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import trimesh

from tractwright.job.read import read_sheet


@pytest.fixture(scope="module")
def packet(inline_three: tuple[Path, int]) -> Path:
    return inline_three[0] / "packet"


@pytest.fixture(scope="module")
def summary(packet: Path) -> dict[str, Any]:
    return json.loads((packet / "summary.json").read_text(encoding="utf-8"))


def test_it_is_whole_with_few_words(inline_three: tuple[Path, int], summary: dict[str, Any]):
    assert inline_three[1] == 0
    assert summary["outcome"] == "whole"
    verdicts = [finding["verdict"] for finding in summary["findings"]]
    assert verdicts.count("stop") == 0
    assert verdicts.count("look") <= 8


def test_every_piece_is_exact_valid_and_closed(packet: Path, summary: dict[str, Any]):
    """The 3MF, read by another library, agrees on closedness and volume (to what a mesh loses on curved faces)."""
    scene = trimesh.load(packet / "inline-three.3mf")
    assert {piece["kind"] for piece in summary["pieces"]} == {"head", "plenum", "cover", "neck"}
    for piece in summary["pieces"]:
        assert piece["valid"], piece["fallback"]
        assert piece["watertight"]
        assert piece["solids"] == 1
        mesh = scene.geometry[piece["name"]]
        mesh.merge_vertices()
        assert mesh.is_watertight
        assert mesh.volume == pytest.approx(piece["volume_mm3"], rel=5e-3)


def test_every_file_listed_is_there_with_its_hash(packet: Path, summary: dict[str, Any]):
    listed = {item["path"]: item["sha256"] for item in summary["files"]}
    found = {path.relative_to(packet).as_posix(): path for path in packet.rglob("*") if path.is_file()}
    assert set(found) == {*listed, "summary.json", "timing.json"}
    for name, digest in listed.items():
        assert hashlib.sha256(found[name].read_bytes()).hexdigest() == digest


def test_the_summary_keeps_to_its_schema(summary: dict[str, Any]):
    schema = json.loads(files("tractwright.packet").joinpath("summary.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(summary)


def test_the_stages_are_timed(packet: Path):
    timing = json.loads((packet / "timing.json").read_text(encoding="utf-8"))
    names = [stage["name"] for stage in timing["stages"]]
    assert {"air and solids", "packet"} <= set(names)
    assert timing["compile_seconds"] >= 0.0


def test_it_describes_the_engine_of_the_sheet(inline_three: tuple[Path, int], summary: dict[str, Any]):
    sheet = read_sheet(inline_three[0])
    assert len(summary["runners"]) == sheet.engine.cylinders
    assert [throttle["bore_mm"] for throttle in summary["throttles"]] == [sheet.throttle.bore_mm]
    assert summary["price"]["lines"]
    assert (inline_three[0] / "design.toml").exists()
