"""The rules that a solid alone can answer, and what is missing for each of the others."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from tractwright.check.finding import BITES_IN_ORDER, BitesAt, Finding, Reading
from tractwright.check.measures import STABLE_WALL_MM
from tractwright.check.parting import parting_words
from tractwright.check.stage import all_rules
from tractwright.geometry.contours import Contour, polyline
from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.make.records import PassageReach, Stock
from tractwright.own.radii import InnerRadius
from tractwright.own.records import Hole, JointFace, OwnSolid
from tractwright.own.sections import cuts, wall_of
from tractwright.own.skins import PassageSkin
from tractwright.own.slots import ends_of
from tractwright.own.walls import ThinWall
from tractwright.standards.spacing import edge_distance_mm
from tractwright.standards.threads import thread

_HOLE_TO_PASSAGE_MM = 2.0
_LAND_MM = 1.5
_LEAST_BEND_SHARE = 1.3
_WIDEST_DEG = 7.0
_LEAST_ROOT_MM = 2.0
_MOST_CHIPS = 25.0
_UNDER_HEAD_SHARE = 0.5
_CHORD_MM = 0.01
_UNDER_EDGE_MM = 2.0
_WIDER = 1.5

_MISSING: dict[BitesAt, str] = {
    "pattern": "the head's pattern: ask with a job sheet that names this piece as its own",
    "air": "what breathes through it: an engine and a plenum in a job sheet",
    "fit": "the room around it: a job sheet with its space",
    "join": "what is screwed to it and with which screws: a job sheet that names this piece as its own",
    "seal": "which seal lies in it: a job sheet that names this piece as its own",
    "wall": "pressure and what the walls belong to: a job sheet",
    "cut": "the plan of its set-ups: a job sheet with the shop's machine and cutters",
    "hold": "how it is held: a job sheet with the shop's machine",
    "price": "rates and quantity: a job sheet with the shop's rates",
}


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class SolidFacts:
    """A solid with what was measured of it. sharp_mm : middles of inner edges without any radius, the longest first; skins :
    of its passages, in order; reaches : None where not asked.
    """

    solid: OwnSolid
    walls: tuple[ThinWall, ...]
    radii: tuple[InnerRadius, ...]
    sharp_mm: tuple[Vec3, ...]
    skins: tuple[PassageSkin, ...]
    reaches: tuple[PassageReach, ...] | None
    stock: Stock | None


def judged(facts: SolidFacts) -> tuple[Finding, ...]:
    """A finding for each rule of the package: answered by the geometry, or unknown with what is missing."""
    found: list[Finding] = []
    for rule in sorted(all_rules(), key=lambda item: BITES_IN_ORDER.index(item.bites_at)):
        asked = _ANSWERED.get(rule.id)
        readings = list(asked(facts)) if asked else []
        if asked is None or (rule.id == "cut.reach" and facts.reaches is None):
            readings = [_missing(facts, _MISSING[rule.bites_at])]
        found += [Finding.of(rule, reading) for reading in readings]
    return tuple(found)


def _missing(facts: SolidFacts, what: str) -> Reading:
    return Reading(
        subject=f"piece.{facts.solid.name}", measured=None, unit="", message=f"Missing: {what}.", at_least=0.0
    )


def _walls(facts: SolidFacts) -> Iterator[Reading]:
    message = "The metal is thinner here than a cutter leaves stable: thicken it, or see that nothing is cut there."
    for thinnest in facts.walls[:1]:
        yield _looked_at(facts, thinnest.thickness_mm, STABLE_WALL_MM, thinnest.at_mm, message)


def _roots(facts: SolidFacts) -> Iterator[Reading]:
    if facts.sharp_mm:
        message = "Inner walls meet with no radius: a flat cutter leaves that at a floor, none in an upright corner; round it."
        yield _looked_at(facts, 0.0, _LEAST_ROOT_MM, facts.sharp_mm[0], message)
        return
    message = "This inner radius asks for a cutter so slim that it reaches nowhere deep, and stress gathers there."
    for least in facts.radii[:1]:
        yield _looked_at(facts, least.radius_mm, _LEAST_ROOT_MM, least.at_mm, message)


def _looked_at(facts: SolidFacts, worst_mm: float, least_mm: float, at_mm: Vec3, message: str) -> Reading:
    """The worst of a size of the whole piece, to be looked at where it is under the least."""
    return Reading(
        subject=f"piece.{facts.solid.name}", measured=worst_mm, unit="mm", at_least=least_mm, broken="look", at_mm=at_mm,
        message=message,
    )  # fmt: skip


def _hole_to_passage(facts: SolidFacts) -> Iterator[Reading]:
    for number, hole in enumerate(facts.solid.holes, start=1):
        gaps = [
            (_gap(hole, skin.points_mm.reshape(-1, 3)), passage.name)
            for skin, passage in zip(facts.skins, facts.solid.passages, strict=True)
        ]
        if gaps:
            gap, name = min(gaps)
            yield Reading(
                subject="+".join(sorted((f"hole.{number}", f"passage.{name}"))),
                measured=gap,
                unit="mm",
                at_least=_HOLE_TO_PASSAGE_MM,
                at_mm=hole.at_mm,
                message="The hole runs so near a passage that it may break through: move it, or make it shallower.",
            )


def _gap(hole: Hole, points: Array) -> float:
    """From the walls of a hole's steps to the nearest of points (n, 3)."""
    step = points - np.array(hole.at_mm)
    depth, along = step @ np.array(hole.into), step @ np.array(hole.slot_way)
    step = step - np.outer(np.clip(along, -hole.slot_mm / 2.0, hole.slot_mm / 2.0), np.array(hole.slot_way))
    off = np.linalg.norm(step - depth[:, None] * np.array(hole.into), axis=1)
    return min(
        _off_step(part.from_mm, part.to_mm, max(part.first_mm, part.last_mm) / 2.0, depth, off) for part in hole.steps
    )


def _off_step(low: float, high: float, radius: float, depth: Array, off: Array) -> float:
    beyond = np.maximum(np.maximum(low - depth, depth - high), 0.0)
    return float(np.hypot(np.maximum(off - radius, 0.0), beyond).min())


def _edges(facts: SolidFacts) -> Iterator[Reading]:
    """The worst hole of each joint face, against the outline of the metal a little under it, where edges are not broken."""
    metal = wall_of(facts.solid.body, frozenset(range(len(facts.solid.body.faces))))
    for face in facts.solid.joint_faces:
        rims = [shapely.Polygon(cut.points_mm) for cut in cuts(metal, face.frame.moved((0.0, 0.0, -_UNDER_EDGE_MM)))]
        edges = [
            (_to_rim(hole, face, rims) / edge_distance_mm(thread(hole.thread).major_mm), number, hole)
            for number, hole in enumerate(face.holes, start=1)
            if hole.use in ("tapped", "clearance")
        ]
        if edges:
            share, number, hole = min(edges, key=lambda item: item[0])
            limit = edge_distance_mm(thread(hole.thread).major_mm)
            yield Reading(
                subject="+".join(sorted((f"face.{face.name}", f"hole.{number}"))),
                measured=share * limit,
                unit="mm",
                at_least=limit,
                broken="look",
                at_mm=hole.at_mm,
                message=f"Too little metal from the hole's middle to the edge, if it is for {hole.thread}.",
            )


def _to_rim(hole: Hole, face: JointFace, rims: list[shapely.Polygon]) -> float:
    """From a hole's middle to the edge of the metal round it [mm]."""
    place = shapely.MultiPoint(face.frame.to_local(ends_of(hole))[:, :2]).convex_hull
    own = np.pi / 4.0 * hole.mouth_mm**2
    return float(
        min(
            (rim.exterior.distance(place) for rim in rims if rim.area > _WIDER * own and rim.contains(place)),
            default=np.inf,
        )
    )


def _under_head(facts: SolidFacts) -> Iterator[Reading]:
    for number, hole in enumerate(facts.solid.holes, start=1):
        if hole.through and hole.counterbore_mm > 0.0 and hole.use == "clearance":
            under = max(part.to_mm - part.from_mm for part in hole.steps if part.first_mm < hole.counterbore_mm - 0.1)
            yield Reading(
                subject=f"hole.{number}",
                measured=under,
                unit="mm",
                at_least=_UNDER_HEAD_SHARE * thread(hole.thread).major_mm,
                at_mm=hole.at_mm,
                message="Too little metal is left under the head: the counterbore is too deep, or the flange too thin.",
            )


def _lands(facts: SolidFacts) -> Iterator[Reading]:
    for face in facts.solid.joint_faces:
        for number, groove in enumerate(face.grooves, start=1):
            near = _near_groove(face, (groove.outer, groove.inner))
            yield Reading(
                subject=f"face.{face.name}+groove.{number}",
                measured=near,
                unit="mm",
                at_least=_LAND_MM,
                at_mm=face.frame.origin_mm,
                message="Too little metal beside the groove: move the groove or the hole, or widen the face.",
            )


def _near_groove(face: JointFace, edges: tuple[Contour, Contour]) -> float:
    rings = [shapely.LinearRing(polyline(edge, _CHORD_MM)) for edge in edges]
    others = [shapely.LinearRing(polyline(contour, _CHORD_MM)) for contour in face.outlines]
    others += [shapely.LinearRing(polyline(opening.contour, _CHORD_MM)) for opening in face.openings]
    gaps = [ring.distance(other) for ring in rings for other in others]
    for hole in face.holes:
        place = shapely.MultiPoint(face.frame.to_local(ends_of(hole))[:, :2]).convex_hull
        gaps += [ring.distance(place) - hole.mouth_mm / 2.0 for ring in rings]
    return float(min(gaps, default=np.inf))


def _bends(facts: SolidFacts) -> Iterator[Reading]:
    for passage, skin in zip(facts.solid.passages, facts.skins, strict=True):
        half = np.linalg.norm(skin.points_mm - skin.centre_mm[:, None, :], axis=2).max(axis=1)
        share = np.interp(skin.s_mm, passage.s_mm, 1.0 / passage.radius_mm) * half
        worst = int(np.argmax(share))
        yield Reading(
            subject=f"passage.{passage.name}",
            measured=min(100.0, 1.0 / max(float(share[worst]), 1e-9)),
            unit="x half size",
            at_least=_LEAST_BEND_SHARE,
            at_mm=vec3(skin.centre_mm[worst]),
            message="The bend is so tight that the inside of it folds, or all but does: widen it.",
        )


def _area_changes(facts: SolidFacts) -> Iterator[Reading]:
    for passage in facts.solid.passages:
        diameter = np.sqrt(4.0 * passage.area_mm2 / np.pi)
        first, last = passage.lips_mm
        between = (passage.s_mm >= first) & (passage.s_mm <= passage.length_mm - last)
        slope = np.gradient(diameter[between], passage.s_mm[between])
        angle = np.zeros(len(diameter))
        angle[between] = np.degrees(2.0 * np.arctan(np.abs(slope) / 2.0))
        worst = int(np.argmax(angle))
        yield Reading(
            subject=f"passage.{passage.name}",
            measured=float(angle[worst]),
            unit="deg",
            at_most=_WIDEST_DEG,
            broken="look",
            at_mm=vec3(passage.centre_mm[worst]),
            message="The passage changes its area quickly here: lengthen the change.",
        )


def _exact(facts: SolidFacts) -> Iterator[Reading]:
    sound = facts.solid.body.valid and facts.solid.body.watertight
    yield Reading(
        subject=f"piece.{facts.solid.name}",
        measured=1.0 if sound else 0.0,
        unit="solid",
        at_least=1.0,
        broken="look",
        message="The solid does not pass the kernel's check, or does not close: mend it where it was drawn.",
    )


def _reaches(facts: SolidFacts) -> Iterator[Reading]:
    for reach in facts.reaches or ():
        whole = reach.stations_mm[-1] + reach.stations_mm[0]
        left = whole - reach.reach_from_port_end_mm - reach.reach_from_mouth_end_mm
        yield Reading(
            subject=f"passage.{reach.runner}",
            measured=max(0.5, left) if reach.verdict == "must split" else 0.0,
            unit="mm",
            at_most=0.0,
            broken="look",
            message=f"The cuts from both ends do not meet: {parting_words(reach, 'its first end')}",
        )


def _chips(facts: SolidFacts) -> Iterator[Reading]:
    if facts.stock is not None:
        yield Reading(
            subject=f"piece.{facts.solid.name}",
            measured=facts.stock.buy_to_fly,
            unit="times",
            at_most=_MOST_CHIPS,
            broken="look",
            message=f"A block of {facts.stock.mass_kg:.1f} kg ends mostly as chips: another split may cost less.",
        )


_ANSWERED: dict[str, Callable[[SolidFacts], Iterator[Reading]]] = {
    "air.area_change": _area_changes,
    "air.bend_radius": _bends,
    "cut.exact": _exact,
    "cut.reach": _reaches,
    "cut.root": _roots,
    "join.counterbore": _under_head,
    "join.edge": _edges,
    "price.chips": _chips,
    "seal.land": _lands,
    "wall.hole_to_passage": _hole_to_passage,
    "wall.least": _walls,
}
