"""A boss's foot keeps off flanges, their root blends, corners and columns."""

from collections.abc import Iterator

from tractwright.check.boss_facts import standing, subject, to_flanges
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.boss import Boss
from tractwright.design.boss_ground import wall_room


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: ground left beside its root blend."""
    for boss in standing(case):
        reading = _on_runner(case, boss) if boss.runner else _on_wall(case, boss)
        if reading is not None:
            yield reading


def _on_runner(case: Case, boss: Boss) -> Reading | None:
    """Off the flange's face by the runner's own root radius: a look, for the two blends run together; on the face a stop."""
    met = to_flanges(case, boss)
    if met is None:
        return None
    gap, flange, root = met
    return Reading(
        subject=subject(boss, f"flange.{flange.name}" if gap < root else ""),
        measured=gap,
        unit="mm",
        at_least=root,
        broken="look" if gap > 0.0 else "stop",
        at_mm=boss.at_mm,
        message="It stands in the flange or in the root beside it: move its station away from there, or make it narrower.",
    )


def _on_wall(case: Case, boss: Boss) -> Reading:
    plenum = next(item for item in case.design.plena if item.name == boss.plenum)
    room = wall_room(case.design, boss, plenum)
    return Reading(
        subject=subject(boss),
        measured=room.mm,
        unit="mm",
        at_least=0.0,
        broken="look" if room.mm > -boss.foot_mm / 2.0 else "stop",
        at_mm=boss.at_mm,
        message=f"Its foot runs into {room.what}: move it along the wall, or make it narrower.",
    )


RULE = Rule(
    id="fit.boss_foot",
    question="Has every boss flat or round ground for its whole foot?",
    limit="off a flange by the root radius there, on a wall off corners, rim and columns; half of it over a look, else a stop",
    cure="another place, or a narrower boss",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
