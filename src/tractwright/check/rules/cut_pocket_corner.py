"""The cutter that goes round the corners of a pocket must reach its floor."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.geometry.contours import least_radius

_SHARP_MM = 0.25


def judge(case: Case) -> Iterator[Reading]:
    """One reading a pocket: depth over the diameter of the cutter that goes round its tightest corner."""
    for pocket in case.design.pockets:
        tightest = max(least_radius(pocket.contour), _SHARP_MM)
        yield Reading(
            subject=f"pocket.{pocket.name}",
            measured=pocket.depth_mm / (2.0 * tightest),
            unit="diameters",
            at_most=case.sheet.shop.longest_stickout,
            broken="look",
            message="The cutter that goes round its corners is too slim for this depth: more head.pocket_corner in the sheet.",
        )


RULE = Rule(
    id="cut.pocket_corner",
    question="Does a cutter that goes round every pocket's corners reach its floor?",
    limit="shop.longest_stickout of the sheet, in diameters",
    cure="head.pocket_corner of the sheet",
    bites_at="cut",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
