"""Dowel pins as they are bought, deep enough in both pieces, and not through."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.plates import PIN_FLOOR_MM, is_thick_enough, thick_joints
from tractwright.design.records import Dowel

_MADE_MM = (3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0)


def judge(case: Case) -> Iterator[Reading]:
    """For each dowel its size or its lesser depth; for each plate it stands in the metal left under it."""
    thick = thick_joints(case)
    for dowel in case.design.dowels:
        nearest = min(_MADE_MM, key=lambda size: abs(size - dowel.diameter_mm))
        if abs(nearest - dowel.diameter_mm) > 1e-6:
            yield _size(dowel, nearest)
        elif dowel.joint in thick:
            yield _depth(dowel)
        yield from _under(case, dowel)


def _size(dowel: Dowel, nearest_mm: float) -> Reading:
    return Reading(
        subject=f"dowel.{dowel.name}",
        measured=abs(dowel.diameter_mm - nearest_mm),
        unit="mm",
        at_most=0.0,
        at_mm=dowel.at_mm,
        message=f"No dowel pin is made in this diameter: take {nearest_mm:g} mm.",
        fix=Fix(path=f"dowel.{dowel.name}.diameter_mm", value=nearest_mm, what=f"pin of {nearest_mm:g} mm"),
    )


def _depth(dowel: Dowel) -> Reading:
    first = dowel.depth_first_mm <= dowel.depth_second_mm
    field, depth = ("depth_first_mm", dowel.depth_first_mm) if first else ("depth_second_mm", dowel.depth_second_mm)
    return Reading(
        subject=f"dowel.{dowel.name}",
        measured=depth,
        unit="mm",
        at_least=dowel.diameter_mm,
        at_mm=dowel.at_mm,
        message="The pin sits so shallow in one piece that it leans: sink it one diameter at least into both.",
        fix=Fix(path=f"dowel.{dowel.name}.{field}", value=dowel.diameter_mm, what=f"{dowel.diameter_mm:g} mm deep"),
    )


def _under(case: Case, dowel: Dowel) -> Iterator[Reading]:
    """Metal between each end of the pin's hole and the other face of its plate."""
    joint = next(item for item in case.design.joints if item.name == dowel.joint)
    depths = dict(zip(joint.pieces, (dowel.depth_first_mm, dowel.depth_second_mm), strict=True))
    for flange in case.design.flanges:
        if flange.joint == dowel.joint and flange.piece in depths and is_thick_enough(case, flange):
            yield Reading(
                subject="+".join(sorted((f"dowel.{dowel.name}", f"flange.{flange.name}"))),
                measured=flange.thickness_mm - depths[flange.piece],
                unit="mm",
                at_least=PIN_FLOOR_MM,
                at_mm=dowel.at_mm,
                message="The pin's hole goes through, or nearly: the pin can fall out, and into the inlet. Drill it "
                "less deep.",
            )


RULE = Rule(
    id="join.dowel_size",
    question="Is every dowel of a size that is made, deep enough in both pieces, and in a hole with a bottom?",
    limit="diameters of 3, 4, 5, 6, 8, 10, 12 mm; one diameter deep; 1.5 mm of metal under it; common practice",
    cure="a stock pin, one diameter deep at least",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
