"""The examples with two heads, as far as their descriptions go: nothing stops them, and few words are said."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tractwright.pipeline import check_job
from tractwright.watch import Watch


@pytest.mark.parametrize(
    ("name", "pieces", "plena"),
    [
        ("vee-six-central", ["head", "plenum", "cover", "neck"], [""]),
        ("vee-eight-central", ["head", "plenum", "cover", "neck"], [""]),
        ("vee-eight-two-plena", 2 * ["head", "plenum", "cover", "neck"], ["left", "right"]),
        ("flat-four", ["head", "head", "middle", "plenum", "cover", "neck"], [""]),
    ],
)
def test_an_example_is_sound(name: str, pieces: list[str], plena: list[str], job_folder: Callable[[str], Path]):
    found = check_job(job_folder(name), Watch(tell=lambda _: None))
    design = found.case.design
    assert found.case.described.feasible
    verdicts = [finding.verdict for finding in found.findings]
    assert verdicts.count("stop") == 0
    assert verdicts.count("look") <= 8
    assert [piece.kind for piece in design.pieces] == pieces
    assert {runner.bank for runner in design.runners} == {"left", "right"}
    assert [plenum.bank for plenum in design.plena] == plena
    assert [throttle.plenum for throttle in design.throttles] == [plenum.name for plenum in design.plena]
