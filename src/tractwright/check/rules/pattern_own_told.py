"""What the geometry of a piece that the user has drawn cannot tell."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.job.sheet import JobSheet, places_ports


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each thing that is missing, and one for each hole whose use cannot be told."""
    own = case.described.own
    if own is None:
        return
    if _depth_is_guessed(case.sheet):
        depth = max((hole.depth_mm for hole in case.pattern.head_holes), default=0.0)
        message = (
            f"The piece shows no thread of the cylinder head: {depth:g} mm of it is taken. Say head_depth in [[piece]]."
        )
        yield _unknown("piece.head.head_depth", message)
    told: dict[str, list[str]] = {}
    for subject, missing in own.unknown:
        told.setdefault(subject, []).append(missing)
    for subject, missing in told.items():
        yield _unknown(subject, f"Not told by the piece: {'; '.join(missing)}. Say it, or draw it plainer.")
    for k, hole in enumerate(own.mouth_holes, start=1):
        if hole.use in ("tapped", "clearance") and not hole.thread:
            missing = f"no thread suits the bore of {hole.bore_mm:.2f} mm: say it with `thread` in [[piece]]"
            yield _unknown(f"piece.head.hole_{k}", f"Hole {k} of the mouth face: {missing}.")
        elif hole.use == "plain" or (hole.use == "clearance" and not hole.through):
            yield _unknown(
                f"piece.head.hole_{k}",
                f"Hole {k} of the mouth face, bore {hole.bore_mm:.2f} mm: what it is for cannot be told; nothing meets it.",
            )


def _depth_is_guessed(sheet: JobSheet) -> bool:
    """Whether nothing but the piece itself tells of the cylinder head's holes."""
    said = any("head_depth_mm" in piece.model_fields_set for piece in sheet.piece)
    return sheet.pattern is None and not places_ports(sheet) and not said


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
