"""The example with a throttle body on every runner, as far as its description goes: nothing stops it, few words are said."""

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from tractwright.pipeline import check_job
from tractwright.watch import Watch


def test_the_example_is_sound(job_folder: Callable[[str], Path]):
    found = check_job(job_folder("throttle-per-runner"), Watch(tell=lambda _: None))
    design = found.case.design
    assert found.case.described.feasible
    verdicts = [finding.verdict for finding in found.findings]
    assert verdicts.count("stop") == 0
    assert verdicts.count("look") <= 8
    assert [piece.kind for piece in design.pieces] == ["head"]
    assert not design.plena
    assert len(design.throttles) == len(design.runners) == 4
    along = [item.frame.origin_mm[0] for item in design.throttles]
    assert [b - a for a, b in pairwise(along)] == pytest.approx([92.0] * 3, abs=1e-6)
