"""How thick each flange has to be for what it carries: one rule says it, the others then leave that flange alone."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.design.records import Flange
from tractwright.standards.cords import cord
from tractwright.standards.threads import thread

SCREW_SHARE = 0.75
LEAST_MM = 4.0
PIN_FLOOR_MM = 1.5
GROOVE_FLOOR_MM = 2.0
_USUAL_PIN_MM = 6.0


def least_thickness(case: Case, flange: Flange) -> tuple[float, str]:
    """The thickness a flange needs [mm] and what for: screws, threads that go through it, pins, a groove."""
    return max(_needs(case, flange), key=lambda need: need[0])


def is_thick_enough(case: Case, flange: Flange) -> bool:
    """Whether a flange is as thick as what it carries asks for."""
    return flange.thickness_mm >= least_thickness(case, flange)[0] - 1e-6


def thick_joints(case: Case) -> frozenset[str]:
    """The joints all of whose flanges are thick enough."""
    thin = {flange.joint for flange in case.design.flanges if not is_thick_enough(case, flange)}
    return frozenset(joint.name for joint in case.design.joints if joint.name not in thin)


def _needs(case: Case, flange: Flange) -> Iterator[tuple[float, str]]:
    screws = [screw for screw in case.design.screws if screw.joint == flange.joint]
    largest = max((thread(screw.thread).major_mm for screw in screws), default=0.0)
    yield max(LEAST_MM, SCREW_SHARE * largest), "it bends under its screws and warps as it is cut"
    through = {joint.name for joint in case.design.joints if joint.kind == "runner"}
    names = {screw.name for screw in screws if screw.tapped_in == flange.piece and screw.joint in through}
    threads = [
        min(load.engagement_needed_mm, load.engagement_for_clamp_mm)
        for load in case.loads.screws
        if load.screw in names
    ]
    yield max(threads, default=0.0), "its threads strip before their screws break"
    pins = [min(dowel.diameter_mm, _USUAL_PIN_MM) for dowel in case.design.dowels if dowel.joint == flange.joint]
    yield max((pin + PIN_FLOOR_MM for pin in pins), default=0.0), "a dowel pin finds no hold in it"
    grooves = [
        min(seal.groove_depth_mm, cord(seal.section_mm).depth_mm)
        for seal in case.design.seals
        if seal.joint == flange.joint and seal.piece == flange.piece and seal.kind == "cord"
    ]
    yield max((deep + GROOVE_FLOOR_MM for deep in grooves), default=0.0), "it bends or breaks under its groove"
