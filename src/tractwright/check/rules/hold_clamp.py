"""Clamps against the push of the cut."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.make.holding import HELD_ENOUGH


def judge(case: Case) -> Iterator[Reading]:
    """One reading a piece that is cut here: the set-up whose clamps hold least over the heaviest cut's push."""
    setups = [setup for setup in (case.plan.setups if case.plan else ()) if setup.held_times > 0.0]
    for piece in dict.fromkeys(setup.piece for setup in setups):
        least = min((setup for setup in setups if setup.piece == piece), key=lambda setup: setup.held_times)
        yield Reading(
            subject=f"piece.{piece}",
            measured=least.held_times,
            unit="times",
            at_least=HELD_ENOUGH,
            broken="look",
            message=f"In set-up '{least.name}' the cut may push the piece out of its hold: cut lighter, or clamp it more.",
        )


RULE = Rule(
    id="hold.clamp",
    question="Do the clamps hold every piece against the heaviest cut?",
    limit="friction of the clamps twice the peak force of roughing; judgement",
    cure="a lighter cut, more clamps",
    bites_at="hold",
    needs="making",
    source="shop_judgement",
    judge=judge,
)
