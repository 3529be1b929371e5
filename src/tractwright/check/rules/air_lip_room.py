"""Every entry needs metal all round for its rounding."""

from collections.abc import Iterator
from math import dist, inf

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.design.records import Plenum, Runner
from tractwright.geometry.frames import vec3

_FLAT_LEFT_MM = 0.4
_LEAST_LIP_MM = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a mouth: flat floor left between its rounding and the next one; one a plenum: the mouth nearest to a wall."""
    for plenum in case.design.plena:
        runners = [runner for runner in case.design.runners if runner.mouth.plenum == plenum.name]
        for runner in runners:
            room = _to_neighbour(runners, runner)
            if room < inf:
                yield _reading(plenum, runner, room, "next one", f"runner.{runner.name}")
        if runners:
            left = {runner.name: _to_wall(runner, plenum) - runner.mouth.lip_radius_mm for runner in runners}
            worst = min(runners, key=lambda runner: left[runner.name])
            subject = f"plenum.{plenum.name}+runner.{worst.name}"
            yield _reading(plenum, worst, _to_wall(worst, plenum), "wall", subject)


def _reading(plenum: Plenum, runner: Runner, room_mm: float, what: str, subject: str) -> Reading:
    mouth = runner.mouth
    whole = int(100.0 * (room_mm - _FLAT_LEFT_MM)) / 100.0
    return Reading(
        subject=subject,
        measured=room_mm - mouth.lip_radius_mm,
        unit="mm",
        at_least=_FLAT_LEFT_MM,
        at_mm=vec3(plenum.frame.to_world((*mouth.at_mm, plenum.floor_mm))),
        message=f"The entry's rounding runs into the {what}: a smaller lip, or more room between.",
        fix=Fix(path=f"runner.{runner.name}.mouth.lip_radius_mm", value=whole, what=f"lip radius {whole:.1f} mm")
        if whole >= _LEAST_LIP_MM
        else None,
    )


def _to_neighbour(runners: list[Runner], runner: Runner) -> float:
    """Half the metal between this bore and the nearest one."""
    least = inf
    for other in runners:
        if other.name != runner.name:
            between = dist(other.mouth.at_mm, runner.mouth.at_mm)
            bores = (other.mouth.bore_mm + runner.mouth.bore_mm) / 2
            least = min(least, (between - bores) / 2)
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
