"""Jaws hold what is flat and parallel: round or tapered outlines turn in them."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.make.flats import FLATS_MM


def judge(case: Case) -> Iterator[Reading]:
    """One reading a piece that jaws hold: the set-up in which least of what they close on is flat and parallel."""
    setups = [setup for setup in (case.plan.setups if case.plan else ()) if setup.jaw_flats_mm is not None]
    for piece in dict.fromkeys(setup.piece for setup in setups):
        least = min((setup for setup in setups if setup.piece == piece), key=lambda setup: setup.jaw_flats_mm or 0.0)
        yield Reading(
            subject=f"piece.{piece}",
            measured=least.jaw_flats_mm,
            unit="mm",
            at_least=FLATS_MM,
            broken="look",
            message=f"In set-up '{least.name}' too little of what the jaws close on is flat and parallel: leave two flats on "
            "its outline, or hold it by its screws.",
        )


RULE = Rule(
    id="hold.flats",
    question="Has every piece flat, parallel faces where jaws hold it?",
    limit="two opposite stretches of 20 mm; judgement. A sawn block is flat all along",
    cure="two flats on the outline, or screws through its holes",
    bites_at="hold",
    needs="making",
    source="shop_judgement",
    judge=judge,
)
