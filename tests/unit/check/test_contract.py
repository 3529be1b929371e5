"""What every rule owes: a known source, a question, both tests, and no failure on half a case."""

from dataclasses import replace
from pathlib import Path

import pytest

from tractwright.check import stage
from tractwright.check.finding import BITES_IN_ORDER, Reading, Rule
from tractwright.check.stage import all_rules, look_ahead
from tractwright.sources import source

TESTS = "\n".join(path.read_text(encoding="utf-8") for path in sorted(Path(__file__).parent.glob("test_rules_*.py")))
RULES = all_rules()


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_rule_says_what_it_asks_and_where_it_stands(rule: Rule):
    assert source(rule.source).text
    assert rule.question.endswith("?")
    assert rule.limit
    assert rule.cure
    assert rule.bites_at in BITES_IN_ORDER
    assert rule.id.startswith(f"{rule.bites_at}.")


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_rule_is_tested_at_its_limit_and_just_over(rule: Rule):
    name = rule.id.replace(".", "_")
    assert f"def test_{name}_holds_at_its_limit(" in TESTS
    assert f"def test_{name}_breaks_just_over(" in TESTS


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_rule_bears_a_case_without_later_stages_and_an_empty_one(rule: Rule, sound):
    nothing = dict.fromkeys(
        ("runners", "plena", "throttles", "flanges", "joints", "screws", "dowels", "seals", "bosses"), ()
    )
    empty = replace(
        sound,
        described=replace(sound.described, design=replace(sound.design, **nothing)),
        loads=replace(sound.loads, joints=(), seals=(), screws=(), plates=(), runners=()),
        tubes={},
        bodies=(),
    )
    list(rule.judge(sound))
    list(rule.judge(empty))


def test_a_sound_manifold_has_no_stop_and_few_looks(sound):
    verdicts = [finding.verdict for finding in look_ahead(sound)]
    assert "stop" not in verdicts
    assert "unknown" not in verdicts
    assert verdicts.count("look") <= 2


def test_findings_have_their_own_ids_and_come_in_the_order_they_bite(sound):
    findings = look_ahead(sound)
    assert len({finding.id for finding in findings}) == len(findings)
    places = [BITES_IN_ORDER.index(finding.bites_at) for finding in findings]
    assert places == sorted(places)


def test_messages_are_one_line_and_end_as_a_sentence(sound):
    for rule in RULES:
        for reading in rule.judge(sound):
            assert "\n" not in reading.message
            assert reading.message[-1] in ".?", (rule.id, reading.subject)
            assert len(reading.message) <= 180, (rule.id, reading.subject)
    assert {finding.message for finding in look_ahead(sound) if finding.verdict == "ok"} == {"In order."}


def test_later_rules_wait_for_their_stage(sound):
    assert {rule.needs for rule in RULES} >= {"description", "solids", "making"}
    asked = {finding.rule for finding in look_ahead(sound)}
    assert not asked & {rule.id for rule in RULES if rule.needs != "description"}


def test_a_repeated_id_is_refused(monkeypatch: pytest.MonkeyPatch):
    module = type("Module", (), {"RULE": RULES[0]})
    monkeypatch.setattr(stage, "modules_in", lambda _: (module, module))
    with pytest.raises(ValueError, match="two rules"):
        all_rules.__wrapped__()


@pytest.mark.parametrize(("measured", "expected"), [(2.0, "ok"), (1.9999, "stop"), (None, "unknown")])
def test_a_reading_holds_at_its_limit(measured, expected):
    reading = Reading(subject="a.b", measured=measured, unit="mm", message="m.", at_least=2.0)
    assert reading.verdict == expected
