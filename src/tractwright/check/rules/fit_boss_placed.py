"""A boss of the sheet that found nothing to stand on."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.boss_space import carrier
from tractwright.job.boss_tables import BossFacts
from tractwright.route.layout.bosses import boss_name


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each runner or plenum that a boss of the sheet names."""
    there = {boss.name: boss for boss in case.design.bosses}
    ours = {piece.name for piece in case.design.pieces if not piece.own}
    for facts in case.sheet.boss:
        for ground in _grounds(case, facts):
            boss = there.get(boss_name(facts, ground))
            stands = boss is not None and carrier(boss, case.design) in ours
            yield Reading(
                subject=f"boss.{boss_name(facts, ground)}",
                measured=1.0 if stands else 0.0,
                unit="placed",
                at_least=1.0,
                at_mm=boss.at_mm if boss is not None else None,
                message=_message(case, facts, ground, boss is not None),
            )


def _grounds(case: Case, facts: BossFacts) -> tuple[str, ...]:
    if facts.wall is not None:
        return tuple(plenum.name for plenum in case.design.plena) or ("plenum",)
    if facts.top_at_mm is not None and not facts.runners:
        stem = boss_name(facts, "")
        return tuple(b.name.removeprefix(stem) for b in case.design.bosses if b.name.startswith(stem)) or ("none",)
    return facts.runners or tuple(runner.name for runner in case.design.runners)


def _message(case: Case, facts: BossFacts, ground: str, placed: bool) -> str:
    if facts.wall is not None and not placed:
        return (
            f"No place on {facts.wall} is free for it beside columns, neck, other bosses and keys: another wall, a narrower "
            "top, or wall_at."
        )
    if placed:
        return "It stands on no piece that is made here: between two pieces, or on one drawn already. Move its station."
    if ground == "none":
        return "Its axis misses every runner: another place of its top, or another way towards."
    known = ", ".join(runner.name for runner in case.design.runners)
    return f"There is no runner {ground}: the runners are {known}."


RULE = Rule(
    id="fit.boss_placed",
    question="Does every boss of the sheet stand on a piece that is made?",
    limit="each on a runner or wall that is there, between the flanges of one piece",
    cure="another station or runner",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
