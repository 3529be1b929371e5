"""The plenum's volume against what is wanted of it."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.job.sheet import is_said

_OFF = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading for all plena together: how far their air is from the volume wanted."""
    wanted = case.wanted.plenum_volume_l
    if case.design.plena and wanted > 0.0:
        volume = sum(plenum.volume_l for plenum in case.design.plena)
        how = "more" if volume > wanted else "less"
        said = is_said(case.sheet, "plenum.volume")
        where = f"the sheet says {wanted:.2f}" if said else f"{wanted:.2f} are wanted"
        yield Reading(
            subject=f"plenum.{case.design.plena[0].name}",
            measured=abs(volume / wanted - 1.0),
            unit="share",
            at_most=_OFF,
            broken="look",
            message=f"{volume:.2f} litre where {where}, so much {how} that the torque moves: see "
            "the air results before it is cut.",
        )


RULE = Rule(
    id="air.volume",
    question="Has the plenum about the volume that the engine wants?",
    limit="half as much more or less; judgement",
    cure="another depth, width or height",
    bites_at="air",
    needs="description",
    source="hamilton_2011",
    judge=judge,
)
