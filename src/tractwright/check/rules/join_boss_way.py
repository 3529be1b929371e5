"""What is screwed or plugged into a boss, and its spanner, need a free way over it."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.boss_facts import clear_height, elsewhere, free_way, standing, subject, to_others
from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import words
from tractwright.design.boss import Boss
from tractwright.design.boss_space import outside_points
from tractwright.design.room import clearance, nearest
from tractwright.geometry.frames import vec3

_TOUCHING_MM = 1.0
_METAL = ("boss", "channel", "flange", "plenum", "runner", "throttle")


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: the free length over its top, as wide as its spanner swings; none where the boss itself has no room
    beside the very thing, which is told.
    """
    for boss in standing(case):
        free = free_way(case, boss)
        if free.mm < boss.reach_mm and _is_told(case, boss, free.what):
            continue
        path = free.what if free.what.partition(".")[0] in _METAL else ""
        cure = elsewhere(boss) if boss.plenum else f"{elsewhere(boss)}, or lean it"
        yield Reading(
            subject=subject(boss, path),
            measured=free.mm,
            unit="mm",
            at_least=boss.reach_mm,
            at_mm=vec3(free.place),
            message=f"{_named(free.what)} stands in the way of what goes into it and of its spanner: {cure}.",
            fix=_raised(case, boss) if free.what == f"plenum.{boss.plenum}" else None,
        )


def _raised(case: Case, boss: Boss) -> Fix | None:
    """A higher boss, whose spanner turns over the columns beside it."""
    height = clear_height(case, boss)
    if height is None:
        return None
    return Fix(path=f"boss.{boss.name}.height_mm", value=height, what=f"{height:g} mm high")


def _named(what: str) -> str:
    """What stands in the way, at the beginning of a sentence."""
    name = words(what) if what.partition(".")[0] in _METAL else what
    return name[:1].upper() + name[1:]


def _is_told(case: Case, boss: Boss, what: str) -> bool:
    """Whether the boss itself touches, or comes too near, what stands in its way: fit.boss_room or fit.boss_neighbours says."""
    if what.partition(".")[0] in _METAL:
        beside = to_others(case, boss)
        return beside.mm < _TOUCHING_MM and beside.what == what
    points = outside_points(boss)
    distance, _ = clearance(case.room, points)
    worst = int(np.argmin(distance))
    near = nearest(case.room, points[worst][None, :])[0]
    return float(distance[worst]) < case.sheet.room.clearance_mm and near == what


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
