"""What tells where ports, screws and room are, and what sizes to aim at: a change of anything else has neither sought again."""

import pytest

from tractwright.cache import key_of
from tractwright.job.sheet import JobSheet, facts_of_aims, facts_of_place

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
        ("pattern", "screw_thread", "M8", False), ("spacer", "thickness", 8, False),
    ],
)  # fmt: skip
def test_only_what_places_counts(table, key, value, same):
    before = facts_of_place(JobSheet.model_validate(SHEET))
    after = facts_of_place(changed(table, key, value))
    assert (key_of(before) == key_of(after)) is same


@pytest.mark.parametrize(
    ("table", "key", "value", "same"),
    [
        ("runner", "wall", 5, True), ("runner", "neighbour_gap", 8, True), ("joint", "seal_material", "FKM", True),
        ("spacer", "material", "PEEK", True),
        ("room", "clearance", 6, True), ("shop", "rate_hour", 90, True), ("job", "name", "other", True),
        ("runner", "length", 250, False), ("runner", "bore", 44, False), ("runner", "lip_radius", 6, False),
        ("engine", "wanted_peak", 4000, False), ("air", "boost", 1.0, False), ("plenum", "volume", 3.0, False),
        ("throttle", "bore", 66, False),
    ],
)  # fmt: skip
def test_only_what_the_air_asks_for_counts(table, key, value, same):
    before = facts_of_aims(JobSheet.model_validate(SHEET))
    after = facts_of_aims(changed(table, key, value))
    assert (key_of(before) == key_of(after)) is same


def test_what_a_spacer_is_made_of_places_nothing():
    keys = {key_of(facts_of_place(changed("spacer", "material", name))) for name in ("PEEK", "glass epoxy")}
    assert len(keys) == 1
