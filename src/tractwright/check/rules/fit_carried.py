"""What the old part also carried: kept, moved or dropped by decision, never forgotten."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each thing the sheet lists; one where there was an old part and nothing is said of it."""
    room = case.sheet.room
    for thing in room.carried:
        yield Reading(
            subject=f"carried.{thing.name.replace(' ', '_')}",
            measured=0.0 if thing.fate is None else 1.0,
            unit="decided",
            at_least=1.0,
            message=f"The old part carried the {thing.name}: decide whether it is kept, moved or dropped, and state "
            "that as its fate in [[room.carried]].",
        )
    if case.sheet.scan is not None and not room.carried:
        yield Reading(
            subject="sheet.room.carried",
            measured=1.0 if room.carried_all else None,
            unit="listed",
            at_least=1.0,
            message="What else did the old part carry (rail posts, brackets, breather, coolant)? List each as "
            "[[room.carried]], or state room.carried_all = true.",
        )


RULE = Rule(
    id="fit.carried",
    question="Is it decided what becomes of everything that the old part carried?",
    limit="each [[room.carried]] with its fate; asked for where there is a scan of an old part",
    cure="room.carried in the sheet: kept, moved or dropped",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
