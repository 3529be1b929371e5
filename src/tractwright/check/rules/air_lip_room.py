"""Every entry needs metal all round for its rounding."""

from collections.abc import Iterator
from math import dist, inf

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.design.records import Plenum, Runner
from tractwright.geometry.frames import vec3

_FLAT_LEFT_MM = 0.4


def judge(case: Case) -> Iterator[Reading]:
    """One reading a mouth: flat floor left between its rounding and the next one, or the plenum's wall."""
    plena = {plenum.name: plenum for plenum in case.design.plena}
    for runner in case.design.runners:
        mouth, plenum = runner.mouth, plena[runner.mouth.plenum]
        room = min(_to_neighbour(case, runner), _to_wall(runner, plenum))
        left = room - mouth.lip_radius_mm
        whole = max(1.0, room - _FLAT_LEFT_MM)
        yield Reading(
            subject=f"runner.{runner.name}",
            measured=left,
            unit="mm",
            at_least=_FLAT_LEFT_MM,
            at_mm=vec3(plenum.frame.to_world((*mouth.at_mm, plenum.floor_mm))),
            message="The entry's rounding runs into its neighbour or the wall: smaller lip, or mouths further apart.",
            fix=Fix(
                path=f"runner.{runner.name}.mouth.lip_radius_mm",
                value=round(whole, 2),
                what=f"lip radius {whole:.1f} mm",
            ),
        )


def _to_neighbour(case: Case, runner: Runner) -> float:
    """Half the metal between this bore and the nearest one."""
    least = inf
    for other in case.design.runners:
        if other.name != runner.name and other.mouth.plenum == runner.mouth.plenum:
            between = dist(other.mouth.at_mm, runner.mouth.at_mm)
            least = min(least, between / 2 - runner.mouth.bore_mm / 2)
    return least


def _to_wall(runner: Runner, plenum: Plenum) -> float:
    """From the bore to the plenum's nearest wall, on the floor."""
    x = abs(runner.mouth.at_mm[0] - plenum.centre_mm[0])
    y = abs(runner.mouth.at_mm[1] - plenum.centre_mm[1])
    r = plenum.corner_radius_mm
    inner_x, inner_y = plenum.width_mm / 2 - r, plenum.height_mm / 2 - r
    straight = min(plenum.width_mm / 2 - x, plenum.height_mm / 2 - y)
    if x > inner_x and y > inner_y:
        straight = r - dist((x, y), (inner_x, inner_y))
    return straight - runner.mouth.bore_mm / 2


RULE = Rule(
    id="air.lip_room",
    question="Has every entry metal all round for its rounding?",
    limit="0.4 mm of flat floor left between roundings, and to the wall; judgement",
    cure="a smaller lip radius",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
