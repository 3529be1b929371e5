"""A slotted hole must lie wholly under its head or washer."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.screw_distances import envelope

LEAST_MM = 1.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a slotted screw: how far its head or washer reaches past the slot's end."""
    for screw in case.design.screws:
        if screw.slot_mm > 0.0:
            yield Reading(
                subject=f"screw.{screw.name}",
                measured=envelope(screw).head_radius_mm - (screw.clearance_mm + screw.slot_mm) / 2.0,
                unit="mm",
                at_least=LEAST_MM,
                broken="look",
                at_mm=screw.seat_mm,
                message="The slot reaches out from under the head: a thick washer, or a shorter slot.",
            )


RULE = Rule(
    id="join.slot_cover",
    question="Does the head or washer cover the whole of every slotted hole?",
    limit="1 mm past the slot's end; common practice",
    cure="a washer, a shorter slot",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
