"""Has every cord room in its groove, also when hot and at the worst of the tolerances?"""

from collections.abc import Iterator
from typing import Literal

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.standards.cords import FILL_NOMINAL_MOST, FILL_WORST_LOOK, Gland, cord, gland, width_for_fill_mm

_FILL_WORST_MOST = 1.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a cord: the worst of the three limits."""
    for seal in case.design.seals:
        if seal.kind != "cord":
            continue
        section = cord(seal.section_mm)
        measured, limit, broken = _worst(gland(section, seal.groove_width_mm, seal.groove_depth_mm))
        width = round(width_for_fill_mm(section), 2)
        yield Reading(
            subject=f"seal.{seal.name}",
            measured=measured,
            unit="share",
            at_most=limit,
            broken=broken,
            message="The cord fills its groove; warm, it is squeezed out or keeps the joint open: cut the groove "
            "wider.",
            fix=Fix(path=f"seal.{seal.name}.groove_width_mm", value=width, what=f"groove {width:.2f} mm wide"),
        )


def _worst(filled: Gland) -> tuple[float, float, Literal["stop", "look"]]:
    """The limit that is broken, stops first; where none is, the nearest one."""
    if filled.fill_worst > _FILL_WORST_MOST:
        return filled.fill_worst, _FILL_WORST_MOST, "stop"
    if filled.fill_nominal > FILL_NOMINAL_MOST:
        return filled.fill_nominal, FILL_NOMINAL_MOST, "stop"
    return filled.fill_worst, FILL_WORST_LOOK, "look"


RULE = Rule(
    id="seal.fill",
    question="Has every cord room in its groove, also when hot and at the worst of the tolerances?",
    limit="nominal fill 85 % at most, worst fill 100 %; worst fill over 85 % a look",
    cure="a wider groove",
    bites_at="seal",
    needs="description",
    source="groove_fill",
    judge=judge,
)
