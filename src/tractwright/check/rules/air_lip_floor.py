"""An entry's rounding is cut into the floor: the floor must be thicker than it is deep."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.plates import is_thick_enough
from tractwright.design.records import Flange, Plenum
from tractwright.geometry.frames import vec3

_LEFT_MM = 1.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a plenum: what is left of its floor under the largest rounding. A floor too thin for its screws and pins
    is wall.flange's to say.
    """
    flanges = case.design.flanges
    for plenum in case.design.plena:
        runners = [runner for runner in case.design.runners if runner.mouth.plenum == plenum.name]
        if not runners or any(_is_floor(flange, plenum) and not is_thick_enough(case, flange) for flange in flanges):
            continue
        worst = max(runners, key=lambda runner: runner.mouth.lip_radius_mm)
        lip = worst.mouth.lip_radius_mm
        least = round(lip + _LEFT_MM, 2)
        yield Reading(
            subject=f"plenum.{plenum.name}+runner.{worst.name}",
            measured=plenum.floor_mm - lip,
            unit="mm",
            at_least=_LEFT_MM,
            at_mm=vec3(plenum.frame.to_world((*worst.mouth.at_mm, plenum.floor_mm))),
            message=f"The entry's rounding goes through the floor into the joint: a smaller lip, or a floor of "
            f"{least:g} mm.",
            fix=Fix(path=f"plenum.{plenum.name}.floor_mm", value=least, what=f"floor {least:g} mm thick"),
        )


def _is_floor(flange: Flange, plenum: Plenum) -> bool:
    return flange.frame == plenum.frame and flange.thickness_mm == plenum.floor_mm


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
