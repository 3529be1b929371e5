"""Can a cutter reach the middle of every passage?"""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.parting import parting_words
from tractwright.reach.records import PassageReach


def judge(case: Case) -> Iterator[Reading]:
    """One reading, for the passage with most left between the reaches from both ends."""
    passages = case.plan.passages if case.plan else ()
    if not passages:
        return
    unknown = [passage for passage in passages if passage.verdict == "unknown"]
    split = [passage for passage in passages if passage.verdict == "must split"]
    worst = max(passages, key=lambda passage: passage.left_mm) if split or not unknown else unknown[0]
    others = f" ({len(split)} of {len(passages)} passages)" if len(split) > 1 else ""
    why_whole = [note for note in case.described.notes if note.startswith("Cutters come")] if split else []
    yield Reading(
        subject=f"runner.{worst.runner}",
        measured=None if worst.verdict == "unknown" else worst.left_mm,
        unit="mm",
        at_most=0.0,
        broken="look",
        message=" ".join((_message(worst, others), *why_whole)),
    )


def _message(passage: PassageReach, others: str) -> str:
    if passage.verdict == "unknown":
        return "Reach could not be judged: try the passage in the machining program before the block is bought."
    return f"The cuts from both ends do not meet{others}: {parting_words(passage, 'the port')}"


RULE = Rule(
    id="cut.reach",
    question="Do the cuts from both ends of every passage meet?",
    limit="nothing left between the two reaches, with the shop's cutters and tilts",
    cure="split the piece, a longer cutter, or a wider bend",
    bites_at="cut",
    needs="making",
    source="common_practice",
    judge=judge,
)
