"""What tells where ports, screws and room are: a change of anything else must not have a scan measured again."""

import pytest

from tractwright.cache import key_of
from tractwright.job.sheet import JobSheet, facts_of_place

SHEET = {
    "job": {"name": "invented"},
    "engine": {"cylinders": 4, "bore": 86, "stroke": 86},
    "pattern": {"pitch": 94, "port_width": 50, "screw_rise": 40},
}


def changed(table: str, key: str, value: object) -> JobSheet:
    return JobSheet.model_validate({**SHEET, table: {**SHEET.get(table, {}), key: value}})


@pytest.mark.parametrize(
    ("table", "key", "value", "same"),
    [
        ("engine", "wanted_peak", 4000, True), ("runner", "length", 250, True), ("air", "boost", 1.0, True),
        ("shop", "rate_hour", 90, True), ("job", "name", "other", True), ("plenum", "wall", 6, True),
        ("engine", "cylinders", 3, False), ("pattern", "pitch", 96, False), ("room", "clearance", 6, False),
        ("pattern", "screw_thread", "M8", False),
    ],
)  # fmt: skip
def test_only_what_places_counts(table, key, value, same):
    before = facts_of_place(JobSheet.model_validate(SHEET))
    after = facts_of_place(changed(table, key, value))
    assert (key_of(before) == key_of(after)) is same
