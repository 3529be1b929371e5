"""The command measure: its record against the schema by an independent validator, its rules against drawn faults."""

import json
import subprocess
import sys
from importlib.resources import files

import jsonschema
import pytest
from build123d import Align, Box, CounterBoreHole, Cylinder, Hole, Locations, Mode, Part, export_step
from build123d.build_part import BuildPart
from typer.testing import CliRunner

from tractwright.check.stage import all_rules
from tractwright.cli import app
from tractwright.packet.measured import MeasuredFile, measured_record
from tractwright.pipeline import measure_file
from tractwright.watch import Watch

_UP = (Align.CENTER, Align.CENTER, Align.MIN)


def _block() -> Part:
    """A block 120 x 80 x 60: a straight bore 36, four screws for M6 of which one stands 6 from the side, one blind hole
    whose bottom comes within 1.5 of the bore.
    """
    with BuildPart() as block:
        Box(120, 80, 60, align=_UP)
        with Locations((0, 0, 60)):
            Hole(18)
        with Locations((50, 30, 60), (-50, 30, 60), (-50, -30, 60), (50, -34, 60)):
            CounterBoreHole(3.3, 5.5, 8)
        with Locations((0, -40, 30)):
            Cylinder(2.5, 41.0, rotation=(90, 0, 0), mode=Mode.SUBTRACT)
    return block.part


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> tuple[MeasuredFile, list[str]]:
    folder = tmp_path_factory.mktemp("measured")
    export_step(_block(), folder / "block.step")
    steps: list[str] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(folder))
        return measure_file(folder / "block.step", "6061-T651", Watch(steps.append)), steps


def _finding(measured: MeasuredFile, rule: str):
    return [finding for finding in measured.solids[0].findings if finding.rule == rule]


def test_the_record_is_valid(told):
    record = json.loads(json.dumps(measured_record(told[0]), allow_nan=False))
    schema = json.loads(files("tractwright.packet").joinpath("measure.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(record)
    (solid,) = record["solids"]
    assert solid["mass_kg"] == pytest.approx(solid["volume_mm3"] * 2.7e-6)
    assert [passage["length_mm"] for passage in solid["passages"]] == pytest.approx([60.0])
    assert solid["passages"][0]["reach"]["verdict"] == "one piece"


def test_every_rule_is_answered_or_says_what_is_missing(told):
    """A rule may have nothing to ask (no groove, no counterbore); none may be silent for another reason."""
    found = {finding.rule for finding in told[0].solids[0].findings}
    assert {rule.id for rule in all_rules()} - found <= {"seal.land", "cut.root"}
    unknown = [finding for finding in told[0].solids[0].findings if finding.verdict == "unknown"]
    assert len(unknown) > 20
    assert all(finding.message.startswith("Missing: ") for finding in unknown)


def test_drawn_faults_are_found(told):
    """The screw 6 from the side (9 wanted), the blind hole 1.5 under the bore (2 wanted)."""
    edges = [finding for finding in _finding(told[0], "join.edge") if finding.verdict == "look"]
    assert edges
    assert [finding.measured for finding in edges] == pytest.approx([6.0] * len(edges), abs=1e-3)
    near = [finding for finding in _finding(told[0], "wall.hole_to_passage") if finding.verdict == "stop"]
    assert [finding.measured for finding in near] == [pytest.approx(1.5, abs=0.1)]
    under = _finding(told[0], "join.counterbore")
    assert [finding.measured for finding in under] == pytest.approx([52.0] * 4)


def test_progress_is_told_a_passage_at_a_time(told):
    assert "solid 1: reach into passage 1" in told[1]


def test_the_command_ends_with_the_right_code_and_prints_a_record(tmp_path, monkeypatch):
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path))
    export_step(Box(60, 50, 40), tmp_path / "plain.step")
    done = CliRunner().invoke(app, ["measure", str(tmp_path / "plain.step"), "--json"])
    assert done.exit_code == 0
    assert json.loads(done.stdout)["solids"][0]["volume_mm3"] == pytest.approx(120000.0)
    assert any("no joint face" in note for note in json.loads(done.stdout)["solids"][0]["notes"])


def test_a_file_that_cannot_be_measured_is_told_in_one_line(tmp_path):
    """Through the program itself: exit code 2, one line."""
    (tmp_path / "mesh.step").write_text("solid of triangles")
    done = subprocess.run(
        [sys.executable, "-c", "from tractwright.cli import main; main()", "measure", str(tmp_path / "mesh.step")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.strip().splitlines()[-1].startswith("mesh.step: it does not begin as a STEP file")


def test_a_pocket_without_radii_is_told(tmp_path, monkeypatch):
    """A pocket drawn as a plain box was passed over: where there was no radius at all nothing was said of radii."""
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path))
    with BuildPart() as block:
        Box(100, 80, 40, align=_UP)
        with Locations((0, 0, 15)):
            Box(60, 40, 30, align=_UP, mode=Mode.SUBTRACT)
    export_step(block.part, tmp_path / "pocket.step")
    measured = measure_file(tmp_path / "pocket.step", "6061-T651", Watch(lambda _: None))
    (finding,) = _finding(measured, "cut.root")
    assert (finding.verdict, finding.measured) == ("look", 0.0)
    assert len(measured_record(measured)["solids"][0]["sharp_inner_edges_mm"]) == 8
