"""Has every cord room in its groove, also when hot and at the worst of the tolerances?"""

from collections.abc import Iterator
from typing import Literal

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import SQUEEZE_LEAST, SQUEEZE_MOST
from tractwright.standards.cords import FILL_NOMINAL_MOST, FILL_WORST_LOOK, Cord, Gland, cord, gland, width_for_fill_mm

_FILL_WORST_MOST = 1.0
_FILL_LEAST = 0.55


def judge(case: Case) -> Iterator[Reading]:
    """One reading a cord: the limit that is broken worst. A groove of a wrong depth is seal.squeeze's to say."""
    for seal in case.design.seals:
        if seal.kind != "cord":
            continue
        section = cord(seal.section_mm)
        filled = gland(section, seal.groove_width_mm, seal.groove_depth_mm)
        if not SQUEEZE_LEAST <= filled.squeeze_nominal <= SQUEEZE_MOST:
            continue
        if filled.fill_nominal < _FILL_LEAST:
            yield _loose(seal.name, filled, section)
            continue
        measured, limit, broken = _worst(filled)
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


def _loose(name: str, filled: Gland, section: Cord) -> Reading:
    width = round(width_for_fill_mm(section), 2)
    return Reading(
        subject=f"seal.{name}",
        measured=filled.fill_nominal,
        unit="share",
        at_least=_FILL_LEAST,
        broken="look",
        message="The groove is so wide that the cord wanders in it as pressure turns to suction: cut it narrower.",
        fix=Fix(path=f"seal.{name}.groove_width_mm", value=width, what=f"groove {width:.2f} mm wide"),
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
    limit="nominal fill 85 % at most, worst fill 100 %; worst fill over 85 % a look; nominal under 55 % a look "
    "(common practice)",
    cure="a groove of the width given",
    bites_at="seal",
    needs="description",
    source="groove_fill",
    judge=judge,
)
