"""docs/rules.md: every rule as the code states it. Write it anew with `python -m tractwright.check.document docs/rules.md`."""

import sys
from pathlib import Path

from tractwright.check.finding import BITES_IN_ORDER, Rule
from tractwright.check.stage import all_rules
from tractwright.sources import source

_TITLES = {
    "pattern": "Pattern: where ports and screws are",
    "air": "Air: what the engine breathes",
    "fit": "Fit: where the part sits and how it comes off",
    "join": "Join: screws, threads, dowels",
    "seal": "Seal: cords and gaskets",
    "wall": "Wall: metal that has to stay",
    "cut": "Cut: what a cutter makes of it",
    "hold": "Hold: what grips the block",
    "price": "Price: what decides it",
}
_WAITS = {
    "description": "",
    "air": ", once the air has been simulated",
    "solids": ", once the solids are built",
    "making": ", once the making is planned",
}
_HEAD = """# Rules

Written by `python -m tractwright.check.document docs/rules.md` from the rules themselves; a test holds it to them.

Every rule asks one question of a manifold and answers for each subject: a path in the description such as `runner.r3`,
or a sorted pair such as `runner.r3+screw.head.s4`. A reading at its limit holds; just over it, it is a **stop** (do not cut
this) or a **look** (decide it with open eyes); **unknown** says what is missing. A fix changes numbers that the tool
solved; for numbers that you hold, or that the sheet says, it only proposes. 'Unverified' marks limits from common practice
or judgement: they are yours to overrule."""


def rules_text() -> str:
    """The document, in the order in which rules bite."""
    parts = [_HEAD]
    for place in BITES_IN_ORDER:
        group = [rule for rule in all_rules() if rule.bites_at == place]
        if group:
            parts.append(f"## {_TITLES[place]}")
            parts += [_section(rule) for rule in group]
    return "\n\n".join(parts) + "\n"


def _section(rule: Rule) -> str:
    origin = source(rule.source)
    doubt = "" if origin.verified else " (unverified)"
    lines = (
        f"### {rule.id}",
        "",
        f"{rule.question}",
        "",
        f"- answers: {_answers(rule)}",
        f"- limit: {rule.limit}",
        f"- cure: {rule.cure}",
        f"- asked of the {'description' if rule.needs == 'description' else 'job'}{_WAITS[rule.needs]}",
        f"- source: {origin.text}{doubt}",
    )
    return "\n".join(lines)


def _answers(rule: Rule) -> str:
    """What a rule gives a reading for: the first sentence of its judge's docstring."""
    text = " ".join((rule.judge.__doc__ or "").split())
    first = text.split(". ")[0].rstrip(".")
    return first[:1].lower() + first[1:]


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(rules_text(), encoding="utf-8")
