"""What the sheet says of a piece that the user has drawn, against what the piece itself is."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.own.head_records import OwnHead

_SAME_MM = 0.1
_CUT_OFF_SHARE = 0.005
"""Lengths traced along a passage are good to this share of them."""


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each size that the sheet says and the piece has."""
    own = case.described.own
    if own is None:
        return
    for key, said, drawn, allowed in _pairs(case, own):
        yield Reading(
            subject=f"piece.head.{key.replace('.', '_')}",
            measured=abs(drawn - said),
            unit="mm",
            at_most=allowed,
            broken="look",
            message=f"The sheet says {key} = {said:.2f} mm, the piece as drawn has {drawn:.2f} mm, and that counts: take the "
            "key out of the sheet, or change the piece.",
        )


def _pairs(case: Case, own: OwnHead) -> Iterator[tuple[str, float, float, float]]:
    """Key, what the sheet says, what the piece has, and how far they may be apart."""
    runner, head = case.sheet.runner, case.sheet.head
    floor = next(flange.thickness_mm for flange in case.design.flanges if flange.name == "floor")
    lengths = [item.length_mm + floor for item in own.runners]
    if "length_mm" in runner.model_fields_set and runner.length_mm is not None:
        worst = max(lengths, key=lambda length: abs(length - (runner.length_mm or 0.0)))
        yield "runner.length", runner.length_mm, worst, _CUT_OFF_SHARE * worst
    if "bore_mm" in runner.model_fields_set and runner.bore_mm is not None:
        bores = [item.bore_mm for item in own.runners]
        yield "runner.bore", runner.bore_mm, max(bores, key=lambda bore: abs(bore - (runner.bore_mm or 0.0))), _SAME_MM
    if "wall_mm" in runner.model_fields_set:
        least = min(wall for item in own.runners for _, wall in item.wall_mm)
        yield "runner.wall", runner.wall_mm, min(least, runner.wall_mm), _SAME_MM
    if "flange_mm" in head.model_fields_set:
        yield "head.flange", head.flange_mm, own.head_mm, _SAME_MM


RULE = Rule(
    id="pattern.own_says",
    question="Does a piece drawn already have the sizes that the sheet says?",
    limit="0.1 mm; lengths 0.5 %; plain sums",
    cure="the key out of the sheet, or the piece drawn anew",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
