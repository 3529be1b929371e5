"""Roots too sharp for a ball cutter that reaches them."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule

_LEAST_MM = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a runner: the sharper of its two roots. A passage in a block that the user has drawn has none."""
    own = {runner.ports: runner.roots_mm for runner in case.described.own.runners} if case.described.own else {}
    for runner in case.design.runners:
        if own.get(runner.ports) == (None, None):
            continue
        at_port = runner.port_blend_mm <= runner.mouth_blend_mm
        field, end = ("port_blend_mm", "port") if at_port else ("mouth_blend_mm", "mouth")
        yield Reading(
            subject=f"runner.{runner.name}",
            measured=min(runner.port_blend_mm, runner.mouth_blend_mm),
            unit="mm",
            at_least=_LEAST_MM,
            broken="look",
            message=f"The root at the {end} is so sharp that its ball cutter is too slim to reach it, and stress "
            "gathers there.",
            fix=Fix(path=f"runner.{runner.name}.{field}", value=_LEAST_MM, what=f"root of {_LEAST_MM:g} mm"),
        )


RULE = Rule(
    id="cut.root",
    question="Is every root wide enough for a cutter that reaches it?",
    limit="2 mm radius; common practice",
    cure="a larger root",
    bites_at="cut",
    needs="description",
    source="common_practice",
    judge=judge,
)
