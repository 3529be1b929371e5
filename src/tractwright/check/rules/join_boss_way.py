"""What is screwed or plugged into a boss, and its spanner, need a free way over it."""

from collections.abc import Iterator

from tractwright.check.boss_facts import free_way, subject
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.geometry.frames import vec3

_METAL = ("boss", "flange", "plenum", "runner", "throttle")


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: the free length over its top, as wide as its spanner swings."""
    for boss in case.design.bosses:
        free = free_way(case, boss)
        path = free.what if free.what.partition(".")[0] in _METAL else ""
        cure = "another place on its wall" if boss.plenum else "turn its clock angle, lean it, or move its station"
        yield Reading(
            subject=subject(boss, path),
            measured=free.mm,
            unit="mm",
            at_least=boss.reach_mm,
            at_mm=vec3(free.place),
            message=f"{free.what.replace('.', ' ').capitalize()} stands in the way of what goes into it and of its "
            f"spanner: {cure}.",
        )


RULE = Rule(
    id="join.boss_way",
    question="Can everything that goes into a boss be put in and turned?",
    limit="the length and width of the sheet; silent: 40 mm (injector 60 mm) and a socket over the thread, common practice",
    cure="another clock angle, lean or station, another place on its wall",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
