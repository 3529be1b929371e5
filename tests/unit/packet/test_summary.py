"""summary.json: against its schema by an independent validator, and against the records it is made from."""

import json
from importlib.resources import files

import jsonschema
import pytest

from tractwright.packet.contents import Contents
from tractwright.packet.stages import air_record, scan_record
from tractwright.packet.summary import plain, summary


def _schema(name: str) -> dict:
    return json.loads(files("tractwright.packet").joinpath(f"{name}.schema.json").read_text(encoding="utf-8"))


def _valid(record: dict, name: str) -> None:
    schema = _schema(name)
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(json.loads(json.dumps(record, allow_nan=False)))


@pytest.mark.parametrize("state", ["described", "whole", "headless"])
def test_it_is_valid_however_far_the_job_came(state: str, request: pytest.FixtureRequest):
    contents: Contents = request.getfixturevalue(state)
    _valid(summary(contents, [{"path": "screws.csv", "sha256": "0" * 64}]), "summary")


def test_a_record_with_a_key_too_many_is_refused(whole: Contents):
    record = summary(whole, []) | {"extra": 1}
    with pytest.raises(jsonschema.ValidationError):
        _valid(record, "summary")


def test_what_is_not_finite_becomes_null():
    assert plain({"a": float("inf"), "b": (float("nan"), 1.23456789)}) == {"a": None, "b": [None, 1.234568]}


def test_a_piece_that_could_not_be_built_names_no_file_and_no_block(headless: Contents):
    head, *others = summary(headless, [])["pieces"]
    assert (head["step_file"], head["stock_mm"], head["mass_before_kg"], head["valid"]) == (None, None, None, False)
    assert head["fallback"]
    assert [piece["step_file"] is None for piece in others] == [False] * (len(others) - 1) + [True]


def test_every_screw_finding_and_file_is_there(whole: Contents):
    record = summary(whole, [{"path": "a", "sha256": "b"}])
    assert len(record["screws"]) == len(whole.case.design.screws)
    assert len(record["findings"]) == len(whole.findings)
    assert record["files"] == [{"path": "a", "sha256": "b"}]


def test_the_records_of_single_stages_are_valid(described: Contents, whole: Contents):
    _valid(air_record(whole, whole.case.breathing), "air")
    _valid(air_record(described, None), "air")
    _valid(scan_record("x", whole.case.pattern), "scan")
