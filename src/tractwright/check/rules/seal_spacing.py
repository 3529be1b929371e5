"""Screws along a cord, how far apart."""

from collections.abc import Iterator
from math import ceil

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.design.records import Flange
from tractwright.standards.spacing import GASKET_FACTOR, flange_for_spacing_mm, moment_factor
from tractwright.standards.threads import thread
from tractwright.strength.records import JointLoad

_MORE = 1.5  # the code's bound is for bare rings; ours stand on walls
_MUCH_THICKER = 1.5  # a flange half as thick again is another flange: its user's to choose (judgement)


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint with a cord: the widest gap between neighbouring screws. Sheet gaskets are left to seal.bow."""
    corded = {seal.joint for seal in case.design.seals if seal.kind == "cord"}
    for load in case.loads.joints:
        if load.joint in corded:
            yield Reading(
                subject=f"joint.{load.joint}",
                measured=load.spacing_mm,
                unit="mm",
                at_most=_MORE * load.spacing_limit_mm,
                broken="look",
                message="Two neighbouring screws stand so far apart that the flange between them is bent "
                f"{_bent(case, load):.1f} times as hard as by close ones: a screw between them, or a thicker flange.",
                fix=_thicker(case, load),
            )


def _bent(case: Case, load: JointLoad) -> float:
    """The moment factor at the joint's widest gap, its thinnest flange and its screws."""
    return moment_factor(load.spacing_mm, _thinnest_screw_mm(case, load), _thinnest(case, load).thickness_mm)


def _thicker(case: Case, load: JointLoad) -> Fix | None:
    """The joint's thinnest flange as thick as its screws' places ask for, where that is no other flange altogether."""
    flange, screw_mm = _thinnest(case, load), _thinnest_screw_mm(case, load)
    wanted = ceil(2.0 * flange_for_spacing_mm(load.spacing_mm / _MORE, screw_mm, GASKET_FACTOR["cord"])) / 2.0
    if wanted > _MUCH_THICKER * flange.thickness_mm:
        return None
    return Fix(path=f"flange.{flange.name}.thickness_mm", value=wanted, what="a thicker flange")


def _thinnest(case: Case, load: JointLoad) -> Flange:
    return min(
        (flange for flange in case.design.flanges if flange.joint == load.joint), key=lambda flange: flange.thickness_mm
    )


def _thinnest_screw_mm(case: Case, load: JointLoad) -> float:
    return min(thread(screw.thread).major_mm for screw in case.design.screws if screw.joint == load.joint)


RULE = Rule(
    id="seal.spacing",
    question="Are the screws along every cord near enough to each other?",
    limit="1.5 x (2 a + 6 t / (m + 0.5)): a thread diameter, t the thinnest flange, m 0.5 for a soft cord; half as "
    "much again because these flanges stand on walls (judgement)",
    cure="a screw between, or a thicker flange",
    bites_at="seal",
    needs="description",
    source="asme_viii_appendix_2",
    judge=judge,
)
