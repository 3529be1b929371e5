"""A passage has to begin at its port and end at its mouth."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.mouths import arrival, ground_of
from tractwright.design.records import Runner
from tractwright.geometry.frames import Array, unit, vec3

_SAME_MM = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a runner: the end of its course that lies further from its port or mouth."""
    for runner in case.design.runners:
        first, last = _off(case, runner)
        at_port = float(np.linalg.norm(first)) >= float(np.linalg.norm(last))
        what = "begin at its port" if at_port else "end at its mouth"
        yield Reading(
            subject=f"runner.{runner.name}",
            measured=float(max(np.linalg.norm(first), np.linalg.norm(last))),
            unit="mm",
            at_most=_SAME_MM,
            at_mm=vec3(runner.poles_mm[0] if at_port else runner.poles_mm[-1]),
            message=f"The runner's course does not {what}: lay it anew, or put port or mouth back where they were.",
        )


def _off(case: Case, runner: Runner) -> tuple[Array, Array]:
    """How far the course's first and last pole lie from where the leads end."""
    bank = next(bank for bank in case.design.banks if bank.name == runner.bank)
    ground = ground_of(runner, case.design)
    ports = [port for port in case.design.ports if port.name in runner.ports]
    start = np.mean([bank.frame.to_world(port.at_mm) for port in ports], axis=0)
    axis = unit(np.mean([port.axis for port in ports], axis=0))
    inside = ground.frame.to_world((*runner.mouth.at_mm, ground.floor_mm))
    mouth = inside - arrival(runner.mouth, ground) * runner.mouth_lead_mm
    first = np.array(runner.poles_mm[0]) - start - axis * runner.port_lead_mm
    return first, np.array(runner.poles_mm[-1]) - mouth


RULE = Rule(
    id="air.ends_meet",
    question="Does every passage begin at its port and end at its mouth?",
    limit="0.5 mm; plain sums",
    cure="the course laid anew",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
