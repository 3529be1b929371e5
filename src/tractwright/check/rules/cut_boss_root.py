"""A ball rounds the root of every boss: beside a high one it must stand far out to reach the foot."""

from collections.abc import Iterator
from math import ceil

from tractwright.check.boss_facts import standing, subject
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: its height over the diameter of the ball that leaves its root."""
    longest = case.sheet.shop.longest_stickout
    for boss in standing(case):
        root = ceil(10.0 * boss.height_mm / longest / 2.0 - 1e-9) / 10.0
        yield Reading(
            subject=subject(boss),
            measured=boss.height_mm / (2.0 * boss.blend_mm),
            unit="diameters",
            at_most=longest,
            broken="look",
            at_mm=boss.at_mm,
            message="The ball that rounds its root is too slim to reach down beside so high a boss: "
            f"a root of {root:.1f} mm, or a lower boss.",
        )


RULE = Rule(
    id="cut.boss_root",
    question="Does the cutter that rounds a boss's root reach its foot?",
    limit="shop.longest_stickout of the sheet, in diameters of a ball of twice the root's radius",
    cure="a larger root, a lower boss",
    bites_at="cut",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
