"""A flange thinner than its screws are thick bends under their heads."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.standards.threads import thread

_SHARE = 0.75
_LEAST_MM = 4.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a flange: its thickness against its largest screw."""
    for flange in case.design.flanges:
        sizes = [thread(screw.thread).major_mm for screw in case.design.screws if screw.joint == flange.joint]
        least = max(_LEAST_MM, _SHARE * max(sizes, default=0.0))
        yield Reading(
            subject=f"flange.{flange.name}",
            measured=flange.thickness_mm,
            unit="mm",
            at_least=least,
            at_mm=flange.frame.origin_mm,
            message=f"The flange is too thin: it bends under its screws and warps as it is cut. {least:g} mm at least.",
            fix=Fix(path=f"flange.{flange.name}.thickness_mm", value=least, what=f"flange {least:g} mm thick"),
        )


RULE = Rule(
    id="wall.flange",
    question="Is every flange thick enough for its screws?",
    limit="0.75 of the thread's diameter, 4 mm at least; common practice",
    cure="a thicker flange",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
