"""Where a short deep plenum has no room a long shallow one may have: the same volume over the whole row of ports."""

from dataclasses import replace

import pytest

from tractwright.design.file import Held
from tractwright.route.course.solve import NO_COURSES, QUICK
from tractwright.route.layout.chamber import at_pitch, first_chamber
from tractwright.route.layout.screws import head_over_mm
from tractwright.route.records import JobFacts
from tractwright.route.stage import coursed
from tractwright.scan.space import room_without_scan

LENGTH_MM, BEHIND_MM = 180.0, 12.0


@pytest.fixture
def slab(sheet, pattern, wanted, tmp_path, monkeypatch) -> JobFacts:
    """Straight runners to a plenum as long as the row just go in before the radiator; over and under there is no way."""
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path))
    aim = replace(wanted(bore_mm=40.0, volume_l=3.2, throttle_mm=46.0), length_mm=LENGTH_MM)
    short = first_chamber("plenum", 4, sheet(runner={"length": LENGTH_MM}), aim, Held())
    long = at_pitch(short, 90.0, sheet(runner={"length": LENGTH_MM}), aim, Held())
    assert long.depth_mm < short.depth_mm - 15.0
    half = long.height_mm / 2 + long.side_mm + 4.0 + 8.0
    out = LENGTH_MM - BEHIND_MM + long.floor_mm + long.depth_mm + long.cover_mm + head_over_mm("M6") + 4.0 + 3.0
    planes = [
        {"name": name, "normal": normal, "offset": -offset}
        for name, normal, offset in (
            ("bonnet", (0.0, -1.0, 0.0), half), ("floor", (0.0, 1.0, 0.0), half), ("radiator", (0.0, 0.0, -1.0), out),
        )
    ]  # fmt: skip
    given = sheet(runner={"length": LENGTH_MM}, room={"plane": planes})
    return JobFacts(sheet=given, pattern=pattern(), room=room_without_scan(given.room), wanted=aim, held=Held())


def test_a_long_plenum_is_found_where_a_short_one_is_too_deep(slab: JobFacts):
    """Once a job whose room had been grown round a sound manifold was refused, with a plenum 45 mm too deep for it."""
    found = coursed(slab, NO_COURSES, QUICK)
    assert found.solution.feasible
    assert found.solution.pitches_mm["plenum"] == pytest.approx(90.0, rel=0.02)
    assert [course.length_mm for course in found.solution.courses] == pytest.approx([LENGTH_MM] * 4, rel=0.002)
