"""What the old part carried and is kept or moved must stand on something of the new part."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each thing kept or moved: whether a boss that stands, or a channel, carries it on."""
    placed = {boss.name.rpartition(".")[0] for boss in case.design.bosses}
    carrying = {
        facts.carries for facts in case.sheet.boss if facts.carries and facts.name.strip().replace(" ", "_") in placed
    }
    drilled = {channel.name for channel in case.design.channels}
    carrying |= {
        facts.carries
        for facts in case.sheet.channel
        if facts.carries and facts.name.strip().replace(" ", "_") in drilled
    }
    for thing in case.sheet.room.carried:
        if thing.fate in ("kept", "moved"):
            yield Reading(
                subject=f"carried.{thing.name.replace(' ', '_')}",
                measured=1.0 if thing.name in carrying else 0.0,
                unit="built",
                at_least=1.0,
                broken="look",
                message=f"Nothing on the new part carries the {thing.name}: give it a [[boss]] with its place (top_at), or "
                "for a fluid a [[channel]], and carries, or see that something else holds it.",
            )


RULE = Rule(
    id="fit.carried_built",
    question="Does the new part carry everything of the old one that is kept or moved?",
    limit="a boss or channel for each [[room.carried]] that is kept or moved",
    cure="[[boss]] with top_at, or [[channel]], and carries",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
