"""Hoses, pipes and cables that stay where they are."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.job.space_tables import Hose

_FREE_MM = 1000.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a hose: the part of the manifold that comes nearest to it."""
    for hose in case.sheet.room.hose:
        what, gap, place = _nearest(case, hose)
        name = f"hose.{hose.name.replace(' ', '_')}"
        yield Reading(
            subject="+".join(sorted(item for item in (name, what) if item)),
            measured=gap,
            unit="mm",
            at_least=case.sheet.room.clearance_mm,
            at_mm=place,
            message=f"It comes too near to the {hose.name}: move the hose, or keep the manifold off with a "
            "[[room.box]] round it.",
        )


def _nearest(case: Case, hose: Hose) -> tuple[str, float, Vec3]:
    best: tuple[str, float, Vec3] = ("", _FREE_MM, hose.start_mm)
    for body in case.bodies:
        points = body.groups.reshape(-1, 3)
        off = _to_line(points, np.array(hose.start_mm), np.array(hose.end_mm)) - hose.diameter_mm / 2
        worst = int(np.argmin(off))
        if off[worst] < best[1]:
            best = (body.subject, float(off[worst]), vec3(points[worst]))
    return best


def _to_line(points: Array, start: Array, end: Array) -> Array:
    way = end - start
    share = np.clip((points - start) @ way / float(way @ way), 0.0, 1.0)
    return np.linalg.norm(points - start - share[:, None] * way, axis=1)


RULE = Rule(
    id="fit.hoses",
    question="Does the manifold stay off the hoses that the sheet names?",
    limit="room.clearance of the sheet, from [[room.hose]]",
    cure="move the hose, or a [[room.box]] that keeps the manifold off it",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
