"""A screw's head and washer need room beside skins, with the full root blend a cutter leaves, walls and counterbores."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.assembly import bodies_before
from tractwright.check.bodies import Crowd, crowd
from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import words
from tractwright.check.screw_distances import Envelope, Gap, beside, envelope
from tractwright.design.records import Screw
from tractwright.geometry.frames import vec3

_ROOM_MM = 0.5
_OVER_SEAT_MM = 0.05
_HIGHEST_STANDOFF_MM = 40
_LOWEST_STANDOFF_MM = 3.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: whatever metal stands nearest to its head and washer."""
    for joint in case.design.joints:
        around = crowd(bodies_before(case.bodies, case.design, joint))
        for screw in case.design.screws:
            if screw.joint == joint.name:
                yield _reading(screw, around, raisable=joint.kind == "head")


def _reading(screw: Screw, around: Crowd, raisable: bool) -> Reading:
    space = envelope(screw)
    gap = _gap(around, screw, space, 0.0)
    wall = screw.counterbore_mm / 2 - space.head_radius_mm
    if screw.counterbore_mm > 0.0 and wall < gap.mm:
        gap, raisable = Gap(mm=wall, subject="", place=np.array(screw.seat_mm)), False
    what = words(gap.subject) if gap.subject else ""
    return Reading(
        subject="+".join(sorted(name for name in (gap.subject, f"screw.{screw.name}") if name)),
        measured=gap.mm,
        unit="mm",
        at_least=_ROOM_MM,
        at_mm=vec3(gap.place),
        message=_message(what, raisable),
        fix=_raised(screw, space, around) if raisable and gap.mm < _ROOM_MM else None,
    )


def _message(what: str, raisable: bool) -> str:
    if not what:
        return "Head or washer fouls the wall of its counterbore: a wider counterbore, or a smaller screw."
    cure = "raise its seat on a standoff, " if raisable else "make way for it, "
    return f"Head or washer fouls {what}: {cure}take a smaller screw, or move it."


def _gap(around: Crowd, screw: Screw, space: Envelope, lift_mm: float) -> Gap:
    start = lift_mm + _OVER_SEAT_MM
    return beside(around, screw, start, lift_mm + space.head_height_mm, space.head_radius_mm)


def _raised(screw: Screw, space: Envelope, around: Crowd) -> Fix | None:
    """The lowest standoff, to the next half millimetre, that clears everything; none lower than is worth cutting."""
    for half in range(1, 2 * _HIGHEST_STANDOFF_MM):
        height = round(screw.standoff_mm + half / 2, 1)
        if height >= _LOWEST_STANDOFF_MM and _gap(around, screw, space, half / 2).mm >= _ROOM_MM:
            return Fix(path=f"screw.{screw.name}.standoff_mm", value=height, what=f"standoff {height:.1f} mm")
    return None


RULE = Rule(
    id="join.head_room",
    question="Has every screw's head and washer room beside skins with their full root blends, walls and counterbores?",
    limit="0.5 mm; common practice",
    cure="a standoff under the head",
    bites_at="join",
    needs="description",
    source="iso_4762",
    judge=judge,
)
