"""A sheet as if it were silent on one thing."""

import pytest

from tractwright.job.sheet import JobSheet, is_said, without_key

SHEET = JobSheet.model_validate(
    {
        "job": {"name": "made up"},
        "runner": {"length": 300.0, "wall": 5.0},
        "room": {
            "clearance": 7.0,
            "plane": [
                {"name": "bonnet", "normal": [0, -1, 0], "offset": -140.0},
                {"name": "radiator fan", "normal": [0, 0, -1], "offset": -330.0},
            ],
            "box": [{"name": "alternator 1.2", "low": [-60, -150, 80], "high": [60, -70, 200]}],
        },
    }
)


def test_a_key_falls_back_to_what_silence_means():
    silent = without_key(SHEET, "runner.wall")
    assert silent.runner.wall_mm == 4.0
    assert not is_said(silent, "runner.wall")
    assert silent.runner.length_mm == 300.0
    assert is_said(silent, "runner.length")
    assert without_key(SHEET, "runner.length").runner.length_mm is None
    assert without_key(SHEET, "room.clearance").room.clearance_mm == 4.0


def test_a_thing_of_the_room_goes_by_its_name():
    """Names may hold spaces and points."""
    assert [plane.name for plane in without_key(SHEET, "room.plane.radiator fan").room.plane] == ["bonnet"]
    assert without_key(SHEET, "room.box.alternator 1.2").room.box == ()
    assert is_said(without_key(SHEET, "room.plane.bonnet"), "room.clearance")


@pytest.mark.parametrize("key", ["job.name", "runner.lenght"])
def test_what_cannot_be_silent_is_refused(key):
    with pytest.raises(KeyError):
        without_key(SHEET, key)
