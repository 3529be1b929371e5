"""An entry's rounding is cut into the floor: the floor must be thicker than it is deep."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.geometry.frames import vec3

_LEFT_MM = 1.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a mouth: what is left of the floor under its rounding."""
    plena = {plenum.name: plenum for plenum in case.design.plena}
    for runner in case.design.runners:
        mouth, plenum = runner.mouth, plena[runner.mouth.plenum]
        least = mouth.lip_radius_mm + _LEFT_MM
        yield Reading(
            subject=f"runner.{runner.name}",
            measured=plenum.floor_mm - mouth.lip_radius_mm,
            unit="mm",
            at_least=_LEFT_MM,
            at_mm=vec3(plenum.frame.to_world((*mouth.at_mm, plenum.floor_mm))),
            message=f"The entry's rounding goes through the floor into the joint: a smaller lip, or a floor of "
            f"{least:g} mm.",
            fix=Fix(path=f"plenum.{plenum.name}.floor_mm", value=least, what=f"floor {least:g} mm thick"),
        )


RULE = Rule(
    id="air.lip_floor",
    question="Is the floor thicker than every entry's rounding is deep?",
    limit="1 mm left under the rounding; common practice",
    cure="a thicker floor, or a smaller lip radius",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
