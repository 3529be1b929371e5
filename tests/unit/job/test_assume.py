"""What is listed as assumed: all that is silent and matters to the job, nothing that is said."""

import pytest

from tractwright.job.assume import assumed_values
from tractwright.job.keys import tables
from tractwright.job.sheet import JobSheet

ENGINE = {"cylinders": 4, "bore": 86, "stroke": 86}
PATTERN = {"pitch": 94, "port_width": 50, "screw_rise": 34}


def sheet(**tables_given: object) -> JobSheet:
    return JobSheet.model_validate({"job": {"name": "x"}, "pattern": PATTERN, **tables_given})


def keys(job: JobSheet) -> list[str]:
    return [item.key for item in assumed_values(job)]


def test_heaviest_first_with_value_unit_and_reason() -> None:
    items = assumed_values(sheet(engine=ENGINE))
    assert [item.weight for item in items] == sorted((item.weight for item in items), reverse=True)
    rod = next(item for item in items if item.key == "engine.rod_length")
    assert (rod.value, rod.why, rod.weight) == ("141.9 mm", "1.65 x stroke", 0.01)


def test_what_is_said_is_not_assumed() -> None:
    assert "engine.rod_length" not in keys(sheet(engine=ENGINE | {"rod_length": 141.9}))


def test_no_engine_no_engine_assumptions() -> None:
    found = keys(sheet(runner={"length": 300, "bore": 44}))
    assert not [key for key in found if key.startswith("engine.")]
    assert "air.charge" not in found
    assert "throttle.bore" in found
    assert "throttle.bore" not in keys(sheet(engine=ENGINE))


def test_the_room_of_a_scan_only_where_there_is_one() -> None:
    assert "room.around_old_part" not in keys(sheet(engine=ENGINE))
    assert "room.around_old_part" in keys(sheet(engine=ENGINE, scan={"file": "a.stl"}))
    assert "room.around_old_part" not in keys(sheet(engine=ENGINE, scan={"file": "a.stl"}, room={"use_scan": False}))


@pytest.mark.parametrize(
    ("shape", "radii"), [("circle", 0), ("oval", 0), ("rounded_rectangle", 1), ("d", 2), ("loop", 0)]
)
def test_radii_only_of_outlines_that_have_them(shape: str, radii: int) -> None:
    found = keys(sheet(engine=ENGINE, pattern=PATTERN | {"port_shape": shape}))
    assert sum("radius" in key for key in found if key.startswith("pattern.")) == radii


def test_large_values_are_not_written_as_powers() -> None:
    peak = next(
        item for item in assumed_values(sheet(engine=ENGINE | {"wanted_peak": 11500})) if item.key == "engine.highest"
    )
    assert peak.value == "14950 rpm"


def test_every_key_has_a_meaning_and_says_what_silence_means() -> None:
    for table in tables():
        assert table.meaning
        for key in table.keys:
            assert key.meaning, (table.heading, key.name)
            assert bool(key.silence) is not key.needed, (table.heading, key.name)
            assert key.example is not None or key.default is not None or key.assumed or key.silence, key.name


def test_no_assumed_weight_is_beyond_the_whole_outcome() -> None:
    for table in tables():
        assert all(0.0 <= key.weight <= 1.0 for key in table.keys)
