"""Sixty sound jobs, drawn by lot and laid on courses without a search: no stop, and few words."""

from pathlib import Path

import pytest
from random_sheets import random_job

from tractwright.check.stage import look_ahead

COUNT = 60
MOST_LOOKS = 8


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("sound")


@pytest.mark.parametrize("seed", range(COUNT))
def test_a_sound_job_has_no_stop_and_few_looks(seed: int, folder: Path):
    findings = look_ahead(random_job(seed).case(folder))
    assert not [(f.rule, f.subject, f.measured, f.limit) for f in findings if f.verdict in ("stop", "unknown")]
    assert sum(finding.verdict == "look" for finding in findings) <= MOST_LOOKS
