"""Walls, floor, cover and skins against the pressure inside."""

from collections.abc import Iterator
from math import ceil

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import STABLE_WALL_MM
from tractwright.strength.records import PlateLoad, RunnerLoad


def judge(case: Case) -> Iterator[Reading]:
    """One reading a flat side and a runner for what stays on; one for the wall that a backfire loads most. Walls too thin
    to be milled are wall.least's to say. Flat sides as measured on the solids where they were, else by the formulas.
    """
    for plate in case.loads.sides:
        if plate.part in ("long wall", "end wall") and plate.thickness_mm < STABLE_WALL_MM:
            continue
        yield _reading(f"{plate.subject}", plate.part, plate, _plate_fix(plate))
    for load in case.loads.runners:
        if load.wall_mm < STABLE_WALL_MM:
            continue
        subject = f"runner.{load.runner}"
        yield _reading(subject, "skin", load, _fix(f"{subject}.wall_mm", load.least_mm, load.wall_mm))
    everything = [*case.loads.sides, *case.loads.runners]
    if everything:
        worst = max(everything, key=lambda load: load.backfire_mpa / load.yield_mpa)
        name = worst.part if isinstance(worst, PlateLoad) else f"skin of runner {worst.runner}"
        yield Reading(
            subject="job.backfire",
            measured=worst.backfire_mpa,
            unit="MPa",
            at_most=worst.yield_mpa,
            broken="look",
            message=f"A backfire bends the {name} for good: make it thicker, rib it, or fit a relief valve.",
        )


def _reading(subject: str, part: str, load: PlateLoad | RunnerLoad, fix: Fix | None) -> Reading:
    name = f"{subject}.{part.replace(' ', '_')}" if isinstance(load, PlateLoad) else subject
    return Reading(
        subject=name,
        measured=load.stress_mpa,
        unit="MPa",
        at_most=load.allowed_mpa,
        message=f"The {part} is too thin for the pressure: it needs {load.least_mm:.1f} mm.",
        fix=fix,
    )


def _plate_fix(plate: PlateLoad) -> Fix | None:
    field = {"cover": "thickness_mm", "floor": "floor_mm", "long wall": "wall_mm", "end wall": "wall_mm"}[plate.part]
    return _fix(f"{plate.subject}.{field}", plate.least_mm, plate.thickness_mm)


def _fix(path: str, least_mm: float, now_mm: float) -> Fix | None:
    thickness = ceil(2.0 * least_mm) / 2.0
    return Fix(path=path, value=thickness, what=f"{thickness:.1f} mm thick") if thickness > now_mm else None


RULE = Rule(
    id="wall.strength",
    question="Does every wall bear the pressure inside, for ever, and a backfire once?",
    limit="the lesser of yield/1.5 and strength/2.4 under boost, leak test or a shut throttle; yield in a backfire "
    "a look",
    cure="a thicker wall",
    bites_at="wall",
    needs="description",
    source="roark_table_11_4",
    judge=judge,
)
