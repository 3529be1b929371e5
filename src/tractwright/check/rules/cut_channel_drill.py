"""Drillings of channels many times as deep as they are wide."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.channel_space import drillings

_MOST = 10.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a channel: its deepest drilling, in diameters."""
    for channel in case.design.channels:
        holes = drillings(channel, case.design)
        if not holes:
            continue
        deepest = max(holes, key=lambda hole: hole.hole_depth_mm)
        yield Reading(
            subject=f"channel.{channel.name}",
            measured=deepest.hole_depth_mm / deepest.hole_mm,
            unit="diameters",
            at_most=_MOST,
            broken="look",
            at_mm=deepest.start_mm,
            message="So deep a drilling wanders: a wider bore, another way out, or drill it from a pilot with many pecks.",
        )


RULE = Rule(
    id="cut.channel_drill",
    question="Is no drilling of a channel so deep that its drill wanders?",
    limit="10 diameters of the drill; common practice",
    cure="a wider bore, a shorter way",
    bites_at="cut",
    needs="description",
    source="common_practice",
    judge=judge,
)
