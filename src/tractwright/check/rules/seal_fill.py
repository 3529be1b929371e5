"""Has every cord room in its groove, also when hot and at the worst of the tolerances?"""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.standards.cords import FILL_NOMINAL_MOST, FILL_WORST_LOOK, cord, gland, width_for_fill_mm


def judge(case: Case) -> Iterator[Reading]:
    """Three readings a cord: nominal fill, worst fill against 85 % and against 100 %."""
    for seal in case.design.seals:
        if seal.kind != "cord":
            continue
        section = cord(seal.section_mm)
        filled = gland(section, seal.groove_width_mm, seal.groove_depth_mm)
        width = round(width_for_fill_mm(section), 2)
        fix = Fix(path=f"seal.{seal.name}.groove_width_mm", value=width, what=f"groove {width:.2f} mm wide")
        for measured, limit, stops in (
            (filled.fill_nominal, FILL_NOMINAL_MOST, True),
            (filled.fill_worst, FILL_WORST_LOOK, False),
            (filled.fill_worst, 1.0, True),
        ):
            yield Reading(
                subject=f"seal.{seal.name}",
                measured=measured,
                unit="share",
                at_most=limit,
                broken="stop" if stops else "look",
                message="The cord fills its groove: a wider groove, or it is squeezed out or keeps the joint open.",
                fix=fix,
            )


RULE = Rule(
    id="seal.fill",
    question="Has every cord room in its groove, also when hot and at the worst of the tolerances?",
    limit="nominal fill 85 % at most; worst fill 85 % a look, 100 % a stop",
    cure="a wider groove",
    bites_at="seal",
    needs="description",
    source="iso_3601_face_groove",
    judge=judge,
)
