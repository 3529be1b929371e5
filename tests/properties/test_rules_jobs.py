"""Random inline jobs with all the room there is: courses searched, rules asked, faults put right, nothing sound refused."""

from dataclasses import replace
from math import pi
from pathlib import Path

import numpy as np
import pytest

from tractwright.air.records import Wanted
from tractwright.check.stage import description_case, look_ahead, put_right
from tractwright.design.file import Held
from tractwright.job.read import read_sheet
from tractwright.route.records import JobFacts
from tractwright.scan.stage import pattern_and_room

SEEDS = (3, 5, 8)


def _sheet(rng: np.random.Generator) -> tuple[str, float, float]:
    """A sheet, a length and a bore: 3 to 6 cylinders of 65 to 100 mm, every outline, lengths of 180 to 420 mm."""
    bore = rng.uniform(65.0, 100.0)
    width = bore * rng.uniform(0.42, 0.55)
    height = width * rng.uniform(0.6, 1.0)
    shape = rng.choice(["oval", "rounded_rectangle", "d"])
    mouth = float(np.sqrt(4.0 / pi * width * height * 0.9))
    text = f"""
[job]
name = "random"
[engine]
cylinders = {rng.integers(3, 7)}
bore = "{bore:.1f} mm"
stroke = "80 mm"
[pattern]
pitch = "{bore + rng.uniform(8.0, 16.0):.1f} mm"
port_shape = "{shape}"
port_width = "{width:.1f} mm"
port_height = "{height:.1f} mm"
port_rise = "{rng.uniform(0.0, 20.0):.1f} deg"
screw_rise = "{height / 2 + 19.0:.1f} mm"
[throttle]
bore = "{rng.uniform(50.0, 70.0):.0f} mm"
place = "{rng.choice(["end_1", "end_2"])}"
"""
    return text, float(rng.uniform(180.0, 420.0)), mouth


@pytest.fixture(scope="module")
def jobs(tmp_path_factory: pytest.TempPathFactory):
    """Each job's sheet, pattern, room and wants, what is held of it (a groove too deep), and what came out."""
    found = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(tmp_path_factory.mktemp("cache")))
        for seed in SEEDS:
            folder: Path = tmp_path_factory.mktemp(f"job{seed}")
            text, length, bore = _sheet(np.random.default_rng(seed))
            (folder / "job.toml").write_text(text, encoding="utf-8")
            sheet = read_sheet(folder)
            pattern, room = pattern_and_room(sheet, folder)
            area = pi / 4 * bore**2
            wanted = Wanted(
                length_mm=length, bore_mm=bore, port_area_mm2=area, mouth_area_mm2=area, plenum_volume_l=1.5,
                throttle_bore_mm=sheet.throttle.bore_mm, lip_radius_mm=0.2 * bore, why=(),
            )  # fmt: skip
            held = Held(values={"seal.cover.groove_depth_mm": 2.3})
            facts = JobFacts(sheet=sheet, pattern=pattern, room=room, wanted=wanted, held=held)
            found.append((facts, put_right(facts)))
        yield found


def test_a_held_fault_is_the_only_stop_and_gets_a_proposal(jobs):
    """The cover's groove is held too deep for its cord: found, proposed, not touched; nothing else stops."""
    for facts, right in jobs:
        case = description_case(facts.sheet, facts.pattern, facts.room, facts.wanted, right.described)
        findings = look_ahead(case)
        stops = {(finding.rule, finding.subject) for finding in findings if finding.verdict == "stop"}
        assert stops == {("seal.squeeze", "seal.cover")}
        assert next(f.fix for f in findings if f.rule == "seal.squeeze" and f.subject == "seal.cover") is not None
        assert not any(change.path == "seal.cover.groove_depth_mm" for change in right.changes)
        assert sum(finding.verdict == "look" for finding in findings) <= 8


def test_a_number_is_changed_one_way_only(jobs):
    for _, right in jobs:
        paths = [change.path for change in right.changes]
        for path in set(paths):
            values = [float(change.after) for change in right.changes if change.path == path]
            assert values in (sorted(values), sorted(values, reverse=True))


def test_the_same_job_comes_out_the_same(jobs):
    """Same inputs, same description."""
    facts, right = jobs[0]
    again = put_right(facts)
    assert again.changes == right.changes
    assert replace(again.described.design, name="") == replace(right.described.design, name="")
