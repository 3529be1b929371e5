"""Screws and dowels where a piece of the user's own has its holes."""

from dataclasses import replace

import numpy as np

from tractwright.design.file import Held
from tractwright.design.pattern import Pattern
from tractwright.design.records import Dowel, HeadHole, Joint, Screw
from tractwright.geometry.frames import vec3
from tractwright.job.sheet import JobSheet
from tractwright.own.head_records import OwnHead, OwnHole
from tractwright.own.pattern import hole_at
from tractwright.route.layout.chamber import Chamber
from tractwright.route.layout.head_joint import before_thread_mm
from tractwright.route.layout.screws import Fastening, head_radius, make_screw
from tractwright.standards.classes import class_in_system
from tractwright.standards.holes import drill_beyond_thread_mm
from tractwright.standards.screws import washer

_PIN_DEEP_MM, _UNDER_PIN_MM = 8.0, 1.5
_ROOM_MM = 0.6
"""Air wanted all round a head or washer in its counterbore. Source: common_practice."""


def rim_holes(own: OwnHead) -> list[OwnHole]:
    """The holes of its mouth face that screws to the next piece can use: tapped, or passing a screw right through."""
    return [hole for hole in own.mouth_holes if hole.thread and (hole.use == "tapped" or _passes(hole))]


def _passes(hole: OwnHole) -> bool:
    return hole.use == "clearance" and hole.through


def rim_fastening(hole: OwnHole, sheet: JobSheet) -> Fastening:
    """What a screw holds in a tapped hole of the piece. A blind thread ends before its bore does."""
    full = hole.depth_mm if hole.through else hole.depth_mm - drill_beyond_thread_mm(hole.thread, hole.depth_mm)
    return Fastening(
        joint="runner",
        thread=hole.thread,
        property_class=class_in_system(hole.thread, sheet.joint.property_class),
        tapped_in="head",
        metal=sheet.shop.material,
        thread_mm=max(full, 0.0),
        through=hole.through,
        nut_factor=sheet.joint.nut_factor,
    )


def rim_screws(own: OwnHead, chamber: Chamber, joint: Joint, sheet: JobSheet, held: Held) -> tuple[Screw, ...]:
    """From the plenum's side into the piece's threads; or from the piece's side into threads through the floor's rim."""
    return tuple(
        _into_piece(f"{joint.name}.s{k}", hole, chamber, joint, sheet, held)
        if hole.use == "tapped"
        else _into_floor(f"{joint.name}.s{k}", hole, chamber, joint, sheet, held)
        for k, hole in enumerate(rim_holes(own), start=1)
    )


def _into_piece(name: str, hole: OwnHole, chamber: Chamber, joint: Joint, sheet: JobSheet, held: Held) -> Screw:
    seat = vec3(joint.frame.to_world((*hole.at_mm, chamber.floor_mm)))
    against = vec3(-np.array(joint.frame.z))
    sizes = (chamber.floor_mm, 0.0, 2 * (head_radius(hole.thread) + 0.5))
    return make_screw(name, rim_fastening(hole, sheet), held, (seat, against), sizes)


def _into_floor(name: str, hole: OwnHole, chamber: Chamber, joint: Joint, sheet: JobSheet, held: Held) -> Screw:
    fastening = replace(rim_fastening(hole, sheet), tapped_in=joint.pieces[1], thread_mm=chamber.floor_mm, through=True)
    seat = vec3(joint.frame.to_world((*hole.at_mm, -hole.seat_mm)))
    sizes = (hole.seat_mm, 0.0, _flat_mm(hole))
    screw = make_screw(name, fastening, held, (seat, joint.frame.z), sizes)
    return replace(screw, clearance_mm=hole.bore_mm, counterbore_mm=hole.counterbore_mm, slot_mm=hole.slot_mm)


def _flat_mm(hole: OwnHole) -> float:
    """Diameter of the flat under a head, no more of it than a head takes."""
    usual = head_radius(hole.thread) + 1.0
    return 2 * (min(usual, hole.seat_radius_mm) if hole.seat_radius_mm else usual)


def head_screws(own: OwnHead, pattern: Pattern, joint: Joint, sheet: JobSheet, held: Held) -> tuple[Screw, ...]:
    """A screw at each hole of the cylinder head that the piece has a hole over, its seat where the piece has it."""
    holes = sorted((h for h in pattern.head_holes if h.bank == own.bank.name), key=lambda h: h.at_mm)
    pairs = [(hole, there) for hole in holes if (there := hole_at(own, hole)) is not None and there.through]
    return tuple(
        _head_screw(f"{joint.name}.s{k}", hole, there, own, (sheet, held))
        for k, (hole, there) in enumerate(pairs, start=1)
    )


def _head_screw(name: str, hole: HeadHole, there: OwnHole, own: OwnHead, words: tuple[JobSheet, Held]) -> Screw:
    (sheet, held), frame = words, own.bank.frame
    fastening = Fastening(
        joint="head",
        thread=hole.thread,
        property_class=class_in_system(hole.thread, sheet.joint.property_class),
        tapped_in="engine",
        metal=sheet.head.material,
        thread_mm=hole.depth_mm,
        through=False,
        nut_factor=sheet.joint.nut_factor,
        gasket_mm=before_thread_mm(sheet),
    )
    seat = vec3(frame.to_world((*there.at_mm, there.seat_mm)))
    flat = _flat_mm(replace(there, thread=hole.thread))
    sizes = (there.seat_mm, there.seat_mm - own.head_mm, flat)
    ways = (seat, vec3(-np.array(frame.z)))
    screw = make_screw(name, fastening, _without_washer(name, hole.thread, there, held), ways, sizes)
    return replace(
        screw,
        standoff_mm=there.seat_mm - own.head_mm,
        clearance_mm=there.bore_mm,
        counterbore_mm=there.counterbore_mm,
        slot_mm=there.slot_mm,
        post_mm=flat,
    )


def _without_washer(name: str, size: str, there: OwnHole, held: Held) -> Held:
    """A counterbore too narrow for the usual washer, but not for a head, takes the head alone."""
    narrow = washer(size).outer_mm + 2 * _ROOM_MM > there.counterbore_mm
    if not there.counterbore_mm or not narrow:
        return held
    return held.with_wishes({f"screw.{name}.washer": "", **held.wishes})


def rim_dowels(own: OwnHead, chamber: Chamber, joint: Joint) -> tuple[Dowel, ...]:
    """Pins where the piece has their holes."""
    pins = [hole for hole in own.mouth_holes if hole.use == "dowel"]
    return tuple(
        Dowel(
            name=f"{joint.name}.d{k}",
            joint=joint.name,
            at_mm=vec3(joint.frame.to_world((*hole.at_mm, 0.0))),
            direction=joint.frame.z,
            diameter_mm=hole.bore_mm,
            depth_first_mm=hole.depth_mm,
            depth_second_mm=min(_PIN_DEEP_MM, chamber.floor_mm - _UNDER_PIN_MM),
        )
        for k, hole in enumerate(pins, start=1)
    )
