"""Bosses that could not be made on the solid."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each boss that was left out; one for each piece that carries all of its own."""
    for piece in case.pieces or ():
        why = {note.split(" ")[1]: note for note in piece.notes if note.startswith("boss ")}
        for name in piece.left_out:
            yield Reading(
                subject=f"boss.{name}",
                measured=0.0,
                unit="made",
                at_least=1.0,
                message=f"{why.get(name, 'It could not be made').capitalize()}: change its place, lean, width or root.",
            )


RULE = Rule(
    id="cut.boss_made",
    question="Is every boss on the solid?",
    limit="every one",
    cure="another place, lean, width or root",
    bites_at="cut",
    needs="solids",
    source="common_practice",
    judge=judge,
)
