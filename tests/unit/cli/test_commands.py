"""The commands from outside: what they print, what they leave, how they end."""

import json
import subprocess
import sys
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest
from row_sheets import LARGER, row_sheet

from tractwright import cli, pipeline
from tractwright.check.finding import Finding
from tractwright.check.stage import Contradiction
from tractwright.errors import KernelError
from tractwright.job.read import read_sheet
from tractwright.packet.contents import Contents
from tractwright.watch import Watch


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path / "cache"))
    folder = tmp_path / "pair"
    folder.mkdir()
    (folder / "job.toml").write_text(row_sheet(**LARGER), encoding="utf-8")
    return folder


def _ended(monkeypatch: pytest.MonkeyPatch, *words: str) -> int:
    """The exit code of the program called with these words."""
    monkeypatch.setattr(sys, "argv", ["tractwright", *words])
    with pytest.raises(SystemExit) as end:
        cli.main()
    return end.value.code or 0


def _schema(name: str) -> dict:
    return json.loads(files("tractwright.packet").joinpath(f"{name}.schema.json").read_text(encoding="utf-8"))


def test_a_bad_sheet_ends_with_2_and_every_fault_from_a_shell(tmp_path: Path):
    (tmp_path / "job.toml").write_text(
        '[job]\nname = "x"\n[engine]\nborre = "86 mm"\nstroke = "8 kg"\n', encoding="utf-8"
    )
    command = [sys.executable, "-c", "from tractwright.cli import main; main()", "run", str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 2
    assert "engine.borre" in done.stderr
    assert "engine.stroke" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "packet").exists()


def test_a_new_sheet_can_be_read_and_is_not_written_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    folder = tmp_path / "fresh"
    assert _ended(monkeypatch, "new", str(folder)) == 0
    assert read_sheet(folder).job.name
    assert _ended(monkeypatch, "new", str(folder)) == 2


def test_check_answers_from_the_description_and_writes_nothing(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    code = _ended(monkeypatch, "check", str(job / "job.toml"), "--json")
    record = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(_schema("summary")).validate(record)
    assert code == {"whole": 0, "stops": 1, "contradiction": 3}[record["outcome"]]
    assert record["findings"]
    assert record["pieces"] == []
    assert [path.name for path in job.iterdir()] == ["job.toml"]
    assert _ended(monkeypatch, "check", str(job)) == code
    assert f"{record['outcome']} so far" in capsys.readouterr().out


def test_scan_leaves_the_pattern_as_tables_and_drawing(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    assert _ended(monkeypatch, "scan", str(job), "--json") == 0
    record = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(_schema("scan")).validate(record)
    assert [row["x_mm"] for row in record["pattern"] if row["kind"] == "port"] == [-42.0, 42.0]
    names = {path.name for path in (job / "packet" / "scan").iterdir()}
    assert names == {"pattern.csv", "measurements.csv", "pattern_a.svg", "scan.png", "sheet_draft.toml"}
    assert _ended(monkeypatch, "scan", str(job)) == 0
    assert "oval 40.00 x 28.00" in capsys.readouterr().out


def test_air_without_an_engine_says_what_is_wanted_and_that_the_rest_is_not_known(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    assert _ended(monkeypatch, "air", str(job), "--json") == 0
    record = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(_schema("air")).validate(record)
    assert record["found"] is None
    assert record["wanted"]["length_mm"] == 190.0
    assert _ended(monkeypatch, "air", str(job)) == 0
    assert "not known" in capsys.readouterr().out


@pytest.fixture
def contents(job: Path) -> Contents:
    return pipeline.check_job(job, Watch(lambda _: None))


def _stopped(contents: Contents) -> Contents:
    finding: Finding = replace(contents.findings[0], verdict="stop", message="[bold]do[/] this")
    return replace(contents, findings=(finding,))


def _contradicting(contents: Contents) -> Contents:
    return replace(contents, contradictions=(Contradiction(demands=("runner.r1", "room.box"), best_found="none"),))


def test_the_exit_code_is_the_outcome(
    contents: Contents, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    """Codes as the help states them; words of a finding are shown as they are, whatever brackets they hold."""
    for change, code, word in ((_stopped, 1, "stops"), (_contradicting, 3, "contradiction")):
        monkeypatch.setattr(pipeline, "check_job", lambda job, watch, change=change: change(contents))
        assert _ended(monkeypatch, "check", "anything") == code
        assert word in capsys.readouterr().out
    monkeypatch.setattr(pipeline, "check_job", lambda job, watch: _stopped(contents))
    _ended(monkeypatch, "check", "anything")
    assert "[bold]do" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("fault", [ValueError("odd\nlines"), KernelError("a step", "gave up")])
def test_our_own_failure_is_one_line_and_4_with_a_trace_only_if_asked_for(
    fault: Exception, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    def fails(job: Path, watch: Watch) -> Contents:
        raise fault

    monkeypatch.setattr(pipeline, "check_job", fails)
    monkeypatch.delenv("TRACTWRIGHT_TRACE", raising=False)
    assert _ended(monkeypatch, "check", "anything") == 4
    told = capsys.readouterr().err.strip()
    assert len(told.splitlines()) == 1
    assert "Traceback" not in told
    monkeypatch.setenv("TRACTWRIGHT_TRACE", "1")
    assert _ended(monkeypatch, "check", "anything") == 4
    assert "Traceback" in capsys.readouterr().err
