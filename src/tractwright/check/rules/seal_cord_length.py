"""A cord cut too long does not go into its groove, one cut too short pulls out of its corners."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.geometry.contours import contour_length
from tractwright.standards.cords import CORD_SHORTER_MOST, cord_length_mm


def judge(case: Case) -> Iterator[Reading]:
    """One reading a cord: how much longer its groove is, as a share of the cord."""
    for seal in case.design.seals:
        if seal.kind != "cord":
            continue
        groove = contour_length(seal.path)
        stretch = groove / seal.length_mm - 1.0 if seal.length_mm > 0.0 else None
        short = stretch is not None and stretch > CORD_SHORTER_MOST / 2.0
        length = cord_length_mm(groove)
        how = "The cord is short and pulls out of its corners" if short else "The cord is too long to lie in its groove"
        yield Reading(
            subject=f"seal.{seal.name}",
            measured=stretch,
            unit="share",
            at_least=None if short else 0.0,
            at_most=CORD_SHORTER_MOST if short else None,
            message=f"{how}: the groove is {groove:.1f} mm round, cut it {length:g} mm long.",
            fix=Fix(path=f"seal.{seal.name}.length_mm", value=length, what=f"cord cut {length:g} mm long"),
        )


RULE = Rule(
    id="seal.cord_length",
    question="Is every cord as long as its groove?",
    limit="never longer than the groove's middle line, 2 % shorter at most",
    cure="the cord cut to the length given",
    bites_at="seal",
    needs="description",
    source="memory",
    judge=judge,
)
