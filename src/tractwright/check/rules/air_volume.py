"""The plenum's volume against what is wanted of it."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.job.sheet import is_said

_OFF = 0.5
_OFF_SAID = 0.05


def judge(case: Case) -> Iterator[Reading]:
    """One reading for all plena together: how far their air is from the volume wanted, or from the one the sheet says.

    What the sheet says and the plenum has not is a look, like every size that the sheet says: the part can be made and will
    hold, and what the torque does is for the air results to say. Where only the room is in its way, demands contradict.
    """
    said = case.sheet.plenum.volume_l if is_said(case.sheet, "plenum.volume") else None
    wanted = said or case.wanted.plenum_volume_l
    if case.design.plena and wanted > 0.0:
        volume = sum(plenum.volume_l for plenum in case.design.plena)
        yield Reading(
            subject=f"plenum.{case.design.plena[0].name}",
            measured=abs(volume / wanted - 1.0),
            unit="share",
            at_most=_OFF_SAID if said else _OFF,
            broken="look",
            message=_said(volume, wanted) if said else _wanted(volume, wanted),
        )


def _wanted(volume_l: float, wanted_l: float) -> str:
    how = "more" if volume_l > wanted_l else "less"
    return (
        f"{volume_l:.2f} litre where {wanted_l:.2f} are wanted, so much {how} that the torque moves: see the air results "
        "before it is cut."
    )


def _said(volume_l: float, said_l: float) -> str:
    """Why, where the sheet says another volume: less than its mouths and throttle take, or numbers held against it."""
    why = (
        "its mouths, corners and the throttle's opening take that much, or design.toml holds it larger"
        if volume_l > said_l
        else "design.toml holds it smaller"
    )
    said = f"The sheet says {said_l:.2f} litre, the plenum has {volume_l:.2f}"
    return f"{said}: {why}. Correct plenum.volume, or let that go."


RULE = Rule(
    id="air.volume",
    question="Has the plenum about the volume that the engine wants?",
    limit="half as much more or less; 5 % where the sheet says the volume; judgement",
    cure="another depth, width or height; plenum.volume of the sheet",
    bites_at="air",
    needs="description",
    source="hamilton_2011",
    judge=judge,
)
