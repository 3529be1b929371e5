"""The throttle body's screws: thread enough in the neck's flange, metal between them and the bore."""

from collections.abc import Iterator
from math import dist, hypot

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.plates import is_thick_enough
from tractwright.design.records import Design, Flange, Throttle
from tractwright.standards.classes import class_in_system
from tractwright.standards.engagement import engagement_needed_mm
from tractwright.standards.threads import thread

_METAL_MM = 2.0
_USUAL_CLASS = "8.8"  # whatever screws come with the body


def judge(case: Case) -> Iterator[Reading]:
    """For each throttle the flange that its body's threads are cut in; the hole that stands nearest to the bore."""
    for throttle in case.design.throttles:
        flange = body_flange(case.design, throttle)
        if flange is not None and is_thick_enough(case, flange):
            yield _thread(case.design, throttle, flange)
        if throttle.holes_mm:
            yield _beside_bore(throttle)


def body_flange(design: Design, throttle: Throttle) -> Flange | None:
    """The flange the throttle body bolts to."""
    joints = [joint for joint in design.joints if joint.kind == "body"]
    nearest = min(joints, key=lambda j: dist(j.frame.origin_mm, throttle.frame.origin_mm), default=None)
    return next((f for f in design.flanges if nearest is not None and f.joint == nearest.name), None)


def _thread(design: Design, throttle: Throttle, flange: Flange) -> Reading:
    metal = next(piece.material for piece in design.pieces if piece.name == flange.piece)
    grade = class_in_system(throttle.hole_thread, _USUAL_CLASS)
    return Reading(
        subject=f"flange.{flange.name}+throttle.{throttle.name}",
        measured=flange.thickness_mm,
        unit="mm",
        at_least=engagement_needed_mm(throttle.hole_thread, grade, metal),
        at_mm=throttle.frame.origin_mm,
        message=f"Too thin for the throttle body's {throttle.hole_thread} threads, which strip before their screws "
        "break: a thicker flange.",
    )


def _beside_bore(throttle: Throttle) -> Reading:
    radius = (throttle.bore_mm + thread(throttle.hole_thread).major_mm) / 2
    return Reading(
        subject=f"throttle.{throttle.name}",
        measured=min(hypot(*hole) for hole in throttle.holes_mm) - radius,
        unit="mm",
        at_least=_METAL_MM,
        at_mm=throttle.frame.origin_mm,
        message="Too little metal between the throttle body's holes and the bore: a smaller bore, or holes further "
        "out.",
    )


RULE = Rule(
    id="join.body_thread",
    question="Do the throttle body's screws find thread enough, and metal between them and the bore?",
    limit="full thread for a screw of class 8.8 to break before the thread strips; 2 mm to the bore, common practice",
    cure="a thicker flange; holes further out",
    bites_at="join",
    needs="description",
    source="iso_16224",
    judge=judge,
)
