"""A screw from its place: stock length, engagement, torque, holes."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor
from typing import Literal

import numpy as np

from tractwright.design.file import Held
from tractwright.design.records import Joint, Screw
from tractwright.errors import TableError
from tractwright.geometry.frames import Vec3, vec3
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.outlines import Point
from tractwright.standards.clamp import torque_at_proof_share_nm
from tractwright.standards.classes import class_in_system
from tractwright.standards.engagement import engagement_needed_mm
from tractwright.standards.envelope import envelope_of
from tractwright.standards.holes import clearance_mm, drill_beyond_thread_mm
from tractwright.standards.screws import screw_head, stock_length_at_least, stock_length_at_most, washer
from tractwright.standards.spacing import edge_distance_mm
from tractwright.standards.threads import thread

PROOF_SHARE = 0.60
"""Tightened to this share of proof at the sheet's nut factor, so that a low factor just reaches proof: common_practice."""
PAST_TIP_PITCHES = 1.0
_OUT_PITCHES = 3.0
"""A blind thread keeps a pitch free under the tip; out of a through one it may stand three pitches: common_practice."""
_SPARE_MM = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastening:
    """What the screws of one joint share.

    gasket_mm : between the joint plane and the thread. metal : what the thread is cut in; thread_mm : full thread there
    is, from where it starts; through : it goes right through, so that its depth does not end the screw. washer_mm :
    thickness of the washer, None for the usual one's.
    """

    joint: str
    thread: str
    property_class: str
    tapped_in: str
    metal: str
    thread_mm: float
    through: bool
    nut_factor: float
    gasket_mm: float = 0.0
    washer_mm: float | None = None


def head_over_mm(size: str) -> float:
    """How far a cap screw's head with its washer stands over its seat [mm]."""
    return envelope_of("cap", size, washer(size).standard).head_height_mm


def head_radius(size: str) -> float:
    """Radius of a cap head with its washer [mm]."""
    return max(screw_head("cap", size).across_mm, washer(size).outer_mm) / 2


def lug_radius(size: str) -> float:
    """Radius of the metal round a screw [mm]: the edge distance, and a land round the head."""
    return max(edge_distance_mm(thread(size).major_mm) + _SPARE_MM, head_radius(size) + 1.0)


def make_screw(
    name: str, fastening: Fastening, held: Held, seat: tuple[Vec3, Vec3], sizes: tuple[float, float, float]
) -> Screw:
    """A screw on its seat. seat : place and direction; sizes : grip, standoff, post diameter [mm].

    The stock length is the shortest with thread enough in that metal for the screw to break before it strips, or the
    longest the hole takes. Raises TableError.
    """
    grip, standoff, post = sizes
    path = f"screw.{name}"
    size = fastening.thread
    ring = _ring(str(held.get(f"{path}.washer", washer(size).standard)), size)
    if fastening.tapped_in != "engine" and not fastening.through:
        thread_mm = held.number(f"{path}.tapped_depth_mm", fastening.thread_mm)
        fastening = replace(fastening, thread_mm=thread_mm)
    fastening = replace(fastening, washer_mm=washer(size, ring).thickness_mm if ring else 0.0)
    grade = str(held.get(f"{path}.property_class", fastening.property_class))
    length = held.number(f"{path}.length_mm", _stock(size, *_lengths(fastening, grade, grip)))
    return Screw(
        name=name,
        joint=fastening.joint,
        seat_mm=seat[0],
        direction=seat[1],
        thread=thread(size).designation,
        property_class=grade,
        head="cap",
        washer=ring,
        length_mm=length,
        grip_mm=grip,
        engagement_mm=min(length - _stack(fastening, grip), fastening.thread_mm),
        tapped_in=fastening.tapped_in,
        tapped_depth_mm=fastening.thread_mm,
        drill_depth_mm=held.number(f"{path}.drill_depth_mm", fastening.thread_mm + _beyond(fastening)),
        standoff_mm=standoff,
        post_mm=held.number(f"{path}.post_mm", post),
        counterbore_mm=0.0,
        clearance_mm=held.number(f"{path}.clearance_mm", clearance_mm(size, "medium")),
        torque_nm=held.number(
            f"{path}.torque_nm",
            floor(10.0 * torque_at_proof_share_nm(size, grade, PROOF_SHARE, fastening.nut_factor)) / 10.0,
        ),
        torque_from="computed" if held.get(f"{path}.torque_nm", None) is None else "held",
    )


def thread_for_stock_mm(size: str, grade: str, metal: str, grip_mm: float, least_mm: float) -> float:
    """Full thread of a blind hole [mm]: at least so much, and enough that the shortest stock length with thread enough in
    that metal, by class, keeps a pitch free under its tip. Raises TableError.
    """
    stack = grip_mm + washer(size).thickness_mm
    needed = stack + engagement_needed_mm(size, grade, metal)
    try:
        length = stock_length_at_least("cap", size, needed)
    except TableError:
        return least_mm
    return max(least_mm, length - stack + PAST_TIP_PITCHES * thread(size).pitch_mm)


def plate_for_stock_mm(size: str, grade: str, metal: str, grip_mm: float, least_mm: float) -> float:
    """Thickness of a plate tapped right through [mm]: at least so much, and enough that a stock length engages enough and
    stands out no more than it may. To the next half millimetre. Raises TableError.
    """
    needed = engagement_needed_mm(size, grade, metal)
    out = (PAST_TIP_PITCHES + _OUT_PITCHES) * thread(size).pitch_mm
    enough = thread_for_stock_mm(size, grade, metal, grip_mm, 0.0) - out
    return ceil(2.0 * max(least_mm, needed, enough) - 1e-9) / 2.0


def tapped(joint: Joint, size: str, sheet: JobSheet, thread_mm: float, through: bool) -> Fastening:
    """What the screws of a joint share whose threads are cut in its first piece, one of ours."""
    return Fastening(
        joint=joint.name,
        thread=size,
        property_class=class_in_system(size, sheet.joint.property_class),
        tapped_in=joint.pieces[0],
        metal=sheet.shop.material,
        thread_mm=thread_mm,
        through=through,
        nut_factor=sheet.joint.nut_factor,
    )


def joint_screws(
    joint: Joint, fastening: Fastening, held: Held, places: Sequence[Point], sizes: tuple[float, float]
) -> tuple[Screw, ...]:
    """Screws against the joint's z at places in its plane, without standoffs. sizes : grip and post diameter [mm]."""
    grip, post = sizes
    against = vec3(-np.array(joint.frame.z))
    seats = [vec3(joint.frame.to_world((*place, grip))) for place in places]
    return tuple(
        make_screw(f"{joint.name}.s{k}", fastening, held, (seat, against), (grip, 0.0, post))
        for k, seat in enumerate(seats, start=1)
    )


def lift_for_stock_mm(fastening: Fastening, grip_mm: float) -> float:
    """How much higher a seat must lie for a stock length to engage enough without bottoming [mm]; 0 where one does, or
    where the thread is too short for any. To the next half millimetre where the thread leaves that.
    """
    least, most = _lengths(fastening, fastening.property_class, grip_mm)
    if least > most:
        return 0.0
    try:
        over = stock_length_at_least("cap", fastening.thread, least) - most
    except TableError:
        return 0.0
    return min(ceil(2 * over - 1e-9) / 2, over + most - least) if over > 1e-9 else 0.0


def _lengths(fastening: Fastening, grade: str, grip_mm: float) -> tuple[float, float]:
    """Least and greatest length under the head: the screw breaks before its thread strips, and does not bottom [mm]."""
    stack, pitch = _stack(fastening, grip_mm), thread(fastening.thread).pitch_mm
    needed = engagement_needed_mm(fastening.thread, grade, fastening.metal)
    tip = _OUT_PITCHES * pitch if fastening.through else -PAST_TIP_PITCHES * pitch
    return stack + needed, stack + fastening.thread_mm + tip


def _stack(fastening: Fastening, grip_mm: float) -> float:
    """From under the head to where the thread begins [mm]."""
    ring = fastening.washer_mm
    return grip_mm + (washer(fastening.thread).thickness_mm if ring is None else ring) + fastening.gasket_mm


def _ring(name: str, size: str) -> str:
    """The washer held, where the tables know it for that thread; else the usual one."""
    try:
        return washer(size, name).standard if name else ""
    except TableError:
        return washer(size).standard


def _beyond(fastening: Fastening) -> float:
    """How much further than the full thread the drill goes [mm]."""
    if fastening.through:
        return _OUT_PITCHES * thread(fastening.thread).pitch_mm + 1.0
    return drill_beyond_thread_mm(fastening.thread, fastening.thread_mm)


def _stock(size: str, least_mm: float, most_mm: float) -> float:
    """The shortest stock length that engages enough, if the hole takes it; else the longest the hole takes."""
    try:
        length = stock_length_at_least("cap", size, least_mm)
    except TableError:
        return stock_length_at_most("cap", size, most_mm)
    return length if length <= most_mm + 1e-9 else stock_length_at_most("cap", size, most_mm)


def joint_path(kind: Literal["head", "runner", "cover", "neck", "body"], suffix: str) -> str:
    """The name of a joint or flange: the kind, and the plenum's or bank's name where there are several."""
    return f"{kind}.{suffix}" if suffix else kind
