"""An insulating spacer grows otherwise than the head under it: warm, its holes wander off the screws."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.slots import ways_from_middle
from tractwright.design.spacer import Spacer
from tractwright.design.spacer_space import joint_of
from tractwright.standards.materials import material
from tractwright.standards.spacer_materials import spacer_material
from tractwright.standards.threads import thread

_COLD_DEGC = 20.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a spacer: its outermost hole, against the play of its screw."""
    facts = case.sheet.spacer
    if facts is None:
        return
    for spacer in case.design.spacers:
        screws = [screw for screw in case.design.screws if screw.joint == spacer.joint]
        if not screws:
            continue
        wandered = _wandered_mm(case, spacer, facts.warm_head_degc - _COLD_DEGC)
        play = [(s.clearance_mm + s.slot_mm - thread(s.thread).major_mm) / 2 for s in screws]
        worst = int(np.argmax(np.array(wandered) - np.array(play)))
        yield Reading(
            subject=f"spacer.{spacer.name}",
            measured=wandered[worst],
            unit="mm",
            at_most=play[worst],
            broken="look",
            at_mm=screws[worst].seat_mm,
            message=f"Warm, the spacer's hole wanders against {screws[worst].name} and tears at its gaskets: slotted outer "
            "holes (head.slots of the sheet), or a material that grows like the head.",
        )


def _wandered_mm(case: Case, spacer: Spacer, warm: float) -> list[float]:
    """How far each screw's hole in the spacer wanders off the head's, from the middle of all [mm]. warm : kelvin."""
    differs = spacer_material(spacer.material).expansion_per_k - material(case.sheet.head.material).expansion_per_k
    off = np.linalg.norm(ways_from_middle(case.design, joint_of(spacer, case.design)), axis=1)
    return [float(abs(differs * warm) * far) for far in off]


RULE = Rule(
    id="join.spacer_growth",
    question="Do the head screws bear it that the insulating spacer grows otherwise than the head?",
    limit="half the play of its hole or slot, at spacer.warm_head of the sheet against 20 C",
    cure="slotted outer holes, or another material",
    bites_at="join",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
