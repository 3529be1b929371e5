"""The hole a screw passes through."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.standards.holes import clearance_hole
from tractwright.standards.threads import thread

_PASSES_MM = 0.1  # less play on the diameter than this does not count as passing


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: its clearance hole."""
    for screw in case.design.screws:
        hole, held = clearance_hole(screw.thread), thread(screw.thread)
        passes = screw.clearance_mm >= held.major_mm + _PASSES_MM
        tight = "The hole is tighter than a fine one: screw and hole must lie truer than usual"
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=screw.clearance_mm,
            unit="mm",
            at_least=hole.fine_mm,
            broken="look" if passes else "stop",
            at_mm=screw.seat_mm,
            message=f"{tight if passes else f'{held.size} does not pass through this hole'}: drill "
            f"{hole.medium_mm:g} mm.",
            fix=Fix(
                path=f"screw.{screw.name}.clearance_mm",
                value=hole.medium_mm,
                what=f"clearance hole {hole.medium_mm:g} mm",
            ),
        )


RULE = Rule(
    id="join.clearance",
    question="Does every screw pass through its hole?",
    limit="0.1 mm more than the thread or a stop; less than the fine hole of the table a look",
    cure="the medium hole of the table",
    bites_at="join",
    needs="description",
    source="iso_273",
    judge=judge,
)
