"""Can a cutter reach the middle of every passage?"""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a passage: what is left between the reaches from both ends."""
    for passage in case.plan.passages if case.plan else ():
        runner = next(item for item in case.design.runners if item.name == passage.runner)
        gap = runner.length_mm - passage.reach_from_port_end_mm - passage.reach_from_mouth_end_mm
        yield Reading(
            subject=f"runner.{passage.runner}",
            measured=None if passage.verdict == "unknown" else max(0.0, gap),
            unit="mm",
            at_most=0.0,
            broken="look",
            message=_message(passage.split_at_mm),
        )


def _message(split_at_mm: float | None) -> str:
    where = f" at about {split_at_mm:.0f} mm from the port" if split_at_mm is not None else ""
    return f"No cutter of this shop meets in the middle: split the piece{where}, or print a core and cast that part."


RULE = Rule(
    id="cut.reach",
    question="Do the cuts from both ends of every passage meet?",
    limit="no gap between the two reaches",
    cure="split the piece, a longer cutter, or a wider bend",
    bites_at="cut",
    needs="making",
    source="common_practice",
    judge=judge,
)
