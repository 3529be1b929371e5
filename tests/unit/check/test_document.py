"""docs/rules.md is what the rules say today."""

from pathlib import Path

from tractwright.check.document import rules_text
from tractwright.check.stage import all_rules

WRITTEN = Path(__file__).parents[3] / "docs" / "rules.md"


def test_the_document_is_current():
    assert WRITTEN.read_text(encoding="utf-8") == rules_text()


def test_every_rule_stands_in_it_once():
    text = rules_text()
    for rule in all_rules():
        assert text.count(f"### {rule.id}\n") == 1
        assert rule.question in text
