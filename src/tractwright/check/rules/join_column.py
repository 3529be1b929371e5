"""Metal round the thread in a column that stands free."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import joint_of
from tractwright.standards.threads import thread

_LEAST_MM = 3.0
_SHARE = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a cover screw: the wall of its column outside the thread."""
    for screw in case.design.screws:
        if joint_of(case, screw.joint).kind != "cover":
            continue
        major = thread(screw.thread).major_mm
        wall = max(_LEAST_MM, _SHARE * major)
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=(screw.post_mm - major) / 2.0,
            unit="mm",
            at_least=wall,
            at_mm=screw.seat_mm,
            message="The column's wall round the thread is so thin that it may burst as the screw is tightened: a "
            "thicker column.",
            fix=Fix(
                path=f"screw.{screw.name}.post_mm",
                value=major + 2.0 * wall,
                what=f"column {major + 2.0 * wall:.1f} mm across",
            ),
        )


RULE = Rule(
    id="join.column",
    question="Is there metal enough round the thread in every column?",
    limit="half a thread diameter outside the thread, 3 mm at least; judgement",
    cure="a thicker column",
    bites_at="join",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
