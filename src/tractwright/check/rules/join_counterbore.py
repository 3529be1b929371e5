"""A seat sunk under the flange's face needs a counterbore, and metal left under it."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.screw_distances import envelope
from tractwright.design.records import Screw
from tractwright.standards.threads import thread

_AROUND_MM = 1.0
_UNDER_SHARE = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a sunk screw: its counterbore where it has none, else the metal under its head."""
    for screw in case.design.screws:
        if screw.standoff_mm < 0.0 and screw.counterbore_mm <= 0.0:
            yield _no_counterbore(screw)
        elif screw.standoff_mm < 0.0 or screw.counterbore_mm > 0.0:
            yield _metal_under(screw)


def _no_counterbore(screw: Screw) -> Reading:
    wide = 2.0 * envelope(screw).head_radius_mm + _AROUND_MM
    return Reading(
        subject=f"screw.{screw.name}",
        measured=screw.counterbore_mm,
        unit="mm",
        at_least=wide,
        at_mm=screw.seat_mm,
        message="The seat lies under the flange's face and nothing is cut away over it: counterbore it, or raise "
        "the seat.",
        fix=Fix(path=f"screw.{screw.name}.standoff_mm", value=0.0, what="seat on the flange's face"),
    )


def _metal_under(screw: Screw) -> Reading:
    return Reading(
        subject=f"screw.{screw.name}",
        measured=screw.grip_mm,
        unit="mm",
        at_least=_UNDER_SHARE * thread(screw.thread).major_mm,
        at_mm=screw.seat_mm,
        message="Too little metal is left under the head: the counterbore is too deep, or the flange too thin.",
    )


RULE = Rule(
    id="join.counterbore",
    question="Has every sunk head its counterbore, and metal enough under it?",
    limit="1 mm wider than head or washer; half a thread diameter of metal under the head; common practice",
    cure="a counterbore as wide as the head asks for, or a seat on the flange's face",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
