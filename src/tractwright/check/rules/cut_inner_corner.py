"""The upright inner corners of a plenum: the cutter that goes round them must reach the floor."""

from collections.abc import Iterator
from math import ceil

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a plenum: depth over the diameter of the thickest cutter that goes round its corners."""
    longest = case.sheet.shop.longest_stickout
    for plenum in case.design.plena:
        radius = ceil(plenum.depth_mm / longest) / 2.0
        yield Reading(
            subject=f"plenum.{plenum.name}",
            measured=plenum.depth_mm / (2.0 * plenum.corner_radius_mm),
            unit="diameters",
            at_most=longest,
            broken="look",
            message="The cutter that goes round the corners is too slim for this depth: a wider corner, or less depth.",
            fix=Fix(
                path=f"plenum.{plenum.name}.corner_radius_mm",
                value=radius,
                what=f"inner corners of {radius:.1f} mm radius",
            ),
        )


RULE = Rule(
    id="cut.inner_corner",
    question="Does a cutter that goes round the plenum's inner corners reach its floor?",
    limit="shop.longest_stickout of the sheet, in diameters of a cutter twice the corner's radius",
    cure="a wider corner",
    bites_at="cut",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
