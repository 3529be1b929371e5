"""Flanges that bow open between screws further than the seal follows."""

from collections.abc import Iterator
from math import ceil

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import SQUEEZE_LEAST
from tractwright.check.plates import thick_joints
from tractwright.strength.records import JointLoad


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint: how far both flanges open midway between screws, as measured on the solids where it was.

    A cord that its groove hardly squeezes follows nothing: that is seal.squeeze's to say; a flange too thin for its screws
    is wall.flange's. Each is said once.
    """
    loose = {seal.joint for seal in case.loads.seals if seal.squeeze < SQUEEZE_LEAST}
    thick = thick_joints(case)
    for load in case.loads.joints:
        if load.joint in loose or load.joint not in thick:
            continue
        on_solids = case.loads.measured_joint(load.joint)
        yield Reading(
            subject=f"joint.{load.joint}",
            measured=load.bow_mm if on_solids is None else on_solids.opening_mm,
            unit="mm",
            at_most=load.bow_limit_mm,
            message=f"Between screws {load.spacing_mm:.0f} mm apart the flanges open further than the seal follows: "
            "a screw between, or a thicker flange.",
            fix=_thicker(case, load),
        )


def _thicker(case: Case, load: JointLoad) -> Fix | None:
    """The thinnest flange of the joint thickened as if it opened alone: the bow goes as the cube of the thickness."""
    flanges = [flange for flange in case.design.flanges if flange.joint == load.joint]
    if not flanges or load.bow_limit_mm <= 0.0:
        return None
    thinnest = min(flanges, key=lambda flange: flange.thickness_mm)
    share = (load.bow_mm / load.bow_limit_mm) ** (1.0 / 3.0)
    thickness = ceil(2.0 * thinnest.thickness_mm * share) / 2.0
    return Fix(
        path=f"flange.{thinnest.name}.thickness_mm",
        value=thickness,
        what=f"flange {thinnest.name} {thickness:.1f} mm thick",
    )


RULE = Rule(
    id="seal.bow",
    question="Does every seal follow its flanges where they open between screws?",
    limit="bow of both flanges by the formula for a beam with held ends; a cord keeps a tenth of its section "
    "squeezed, a sheet gasket follows 0.05 mm",
    cure="a thicker flange, or a screw between",
    bites_at="seal",
    needs="description",
    source="timoshenko_plates",
    judge=judge,
)
