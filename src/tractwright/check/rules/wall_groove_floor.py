"""Metal left under a groove."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_LEAST_MM = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a cord: the flange its groove is cut in, under the groove."""
    for seal in case.design.seals:
        flange = next((f for f in case.design.flanges if f.joint == seal.joint and f.piece == seal.piece), None)
        if seal.kind != "cord" or flange is None:
            continue
        yield Reading(
            subject="+".join(sorted((f"flange.{flange.name}", f"seal.{seal.name}"))),
            measured=flange.thickness_mm - seal.groove_depth_mm,
            unit="mm",
            at_least=_LEAST_MM,
            at_mm=flange.frame.origin_mm,
            message="The groove leaves so little under it that the flange breaks or bends there: a thicker flange, "
            "or a thinner cord.",
        )


RULE = Rule(
    id="wall.groove_floor",
    question="Is there metal enough under every groove?",
    limit="2 mm; common practice",
    cure="a thicker flange, a thinner cord",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
