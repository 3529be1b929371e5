"""Screws are bought in stock lengths: a length in between means a screw cut short by hand."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.standards.screws import stock_lengths


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: how far its length is from the nearest one that is made."""
    for screw in case.design.screws:
        nearest = min(stock_lengths(screw.head, screw.thread), key=lambda length: abs(length - screw.length_mm))
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=abs(screw.length_mm - nearest),
            unit="mm",
            at_most=0.0,
            at_mm=screw.seat_mm,
            message=f"No {screw.thread} screw is made in this length: take {nearest:g} mm, and see that its thread "
            "still fits.",
            fix=Fix(path=f"screw.{screw.name}.length_mm", value=nearest, what=f"screw {nearest:g} mm long"),
        )


RULE = Rule(
    id="join.stock_length",
    question="Is every screw of a length that is made?",
    limit="the stock lengths of its head's standard, shortest to longest in that thread",
    cure="the nearest stock length",
    bites_at="join",
    needs="description",
    source="iso_4762",
    judge=judge,
)
