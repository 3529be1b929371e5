"""Screws of one joint that are not alike: somebody will put them in the wrong holes."""

from collections import Counter
from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint: screws whose thread or class is not the usual one of that joint."""
    for joint in case.design.joints:
        kinds = Counter(
            (screw.thread, screw.property_class) for screw in case.design.screws if screw.joint == joint.name
        )
        if not kinds:
            continue
        (thread, grade), usual = kinds.most_common(1)[0]
        yield Reading(
            subject=f"joint.{joint.name}",
            measured=float(kinds.total() - usual),
            unit="screws",
            at_most=0.0,
            broken="look",
            message=f"Most of its screws are {thread} of class {grade}, some are not, and will get mixed up: make all alike.",
        )


RULE = Rule(
    id="join.mixed",
    question="Are all screws of a joint of one thread and class?",
    limit="none that differs; common practice",
    cure="one thread and one class for all",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
