"""A flange has to be thick enough for what it carries."""

from collections.abc import Iterator
from math import ceil

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.plates import least_thickness


def judge(case: Case) -> Iterator[Reading]:
    """One reading a flange: its thickness against what asks for most. Other rules then say nothing more of it."""
    for flange in case.design.flanges:
        least, why = least_thickness(case, flange)
        thick = ceil(2.0 * least - 1e-9) / 2.0
        yield Reading(
            subject=f"flange.{flange.name}",
            measured=flange.thickness_mm,
            unit="mm",
            at_least=least,
            at_mm=flange.frame.origin_mm,
            message=f"The flange is so thin that {why}: make it {thick:g} mm thick.",
            fix=Fix(path=f"flange.{flange.name}.thickness_mm", value=thick, what=f"flange {thick:g} mm thick"),
        )


RULE = Rule(
    id="wall.flange",
    question="Is every flange thick enough for its screws, threads, pins and groove?",
    limit="4 mm and 0.75 of the thread's diameter; thread for the screw to break first where it goes right through; "
    "a pin's diameter and 1.5 mm; the groove of the table and 2 mm; common practice",
    cure="a thicker flange",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
