"""What the geometry of a piece that the user has drawn cannot tell."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each thing that is missing, and one for each hole whose use cannot be told."""
    own = case.described.own
    if own is None:
        return
    for subject, missing in own.unknown:
        yield _unknown(subject, f"Not told by the piece: {missing}. Say it, or draw it plainer.")
    for k, hole in enumerate(own.mouth_holes, start=1):
        if hole.use in ("tapped", "clearance") and not hole.thread:
            missing = f"no thread suits the bore of {hole.bore_mm:.2f} mm: say it with `thread` in [[piece]]"
            yield _unknown(f"piece.head.hole_{k}", f"Hole {k} of the mouth face: {missing}.")
        elif hole.use == "plain" or (hole.use == "clearance" and not hole.through):
            yield _unknown(
                f"piece.head.hole_{k}",
                f"Hole {k} of the mouth face, bore {hole.bore_mm:.2f} mm: what it is for cannot be told; nothing meets it.",
            )


def _unknown(subject: str, message: str) -> Reading:
    return Reading(subject=subject, measured=None, unit="", at_least=0.0, message=message)


RULE = Rule(
    id="pattern.own_told",
    question="Is everything about a piece drawn already told by its geometry?",
    limit="nothing missing",
    cure="say it in [[piece]], or draw it plainer",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
