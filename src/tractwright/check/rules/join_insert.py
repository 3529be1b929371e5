"""A wire insert needs a thread deeper than itself."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.inserts import insert_advice
from tractwright.strength.screws import insert_of


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint into the engine whose holes carry inserts: full thread there is, against what they ask."""
    needed = {load.screw: min(load.engagement_needed_mm, load.engagement_for_clamp_mm) for load in case.loads.screws}
    for joint in case.design.joints:
        screws = [s for s in case.design.screws if s.joint == joint.name and insert_of(s, case.sheet) is not None]
        if not screws:
            continue
        least = min(screws, key=lambda screw: screw.tapped_depth_mm)
        insert = insert_of(least, case.sheet)
        yield Reading(
            subject=f"joint.{joint.name}",
            measured=least.tapped_depth_mm,
            unit="mm",
            at_least=insert.tapped_depth_mm if insert else 0.0,
            at_mm=least.seat_mm,
            message="The holes are not deep enough for this insert and its lead: "
            f"{insert_advice(case, least, needed[least.name])}.",
        )


RULE = Rule(
    id="join.insert",
    question="Are the engine's holes deep enough for the inserts that the sheet names?",
    limit="least full thread of the table for that insert",
    cure="a shorter insert, deeper holes",
    bites_at="join",
    needs="description",
    source="asme_b18_29_8m",
    judge=judge,
)
