"""Each joint: clamp against pressure, how far apart its screws stand, how far its flanges open midway; each cord."""

from math import dist, pi
from typing import TypeVar

import numpy as np

from tractwright.design.mouths import Ground, grounds
from tractwright.design.passing import runners_through
from tractwright.design.records import Bank, Design, Flange, Joint, Screw, Seal, Throttle
from tractwright.geometry.contours import contour_area, contour_length, segment_length, spread_points
from tractwright.geometry.frames import Array, Frame
from tractwright.geometry.outlines import outline_area
from tractwright.standards.clamp import end_force_n, separation_factor, settled_clamp_n
from tractwright.standards.cords import cord, gland, smallest_corner_radius_mm
from tractwright.standards.materials import material
from tractwright.standards.spacing import GASKET_FACTOR, widest_spacing_mm
from tractwright.standards.threads import thread
from tractwright.strength.records import JointLoad, Pressures, ScrewLoad, SealLoad

Placed = TypeVar("Placed", Bank, Ground, Throttle)

SQUEEZE_KEPT = 0.10
"""Share of its section a cord must stay squeezed to seal. Source key: shop_judgement."""
SHEET_FOLLOWS_MM = 0.05
"""How far a sheet gasket follows an opening joint. Source key: shop_judgement."""
_ROUND = 240
CORD_PUSH_N_MM = 4.0
"""Force of a squeezed cord for 1 mm of its length. Source key: shop_judgement."""


def joint_load(
    joint: Joint, design: Design, screw_loads: tuple[ScrewLoad, ...], pressures: Pressures
) -> JointLoad | None:
    """The load of one joint; None where the description holds no screws for it: nothing to weigh."""
    screws = tuple(screw for screw in design.screws if screw.joint == joint.name)
    loads = tuple(load for load in screw_loads if load.joint == joint.name)
    if not screws:
        return None
    area = sealed_area_mm2(joint, design)
    clamp = settled_clamp_n(tuple(load.clamp_low_n for load in loads))
    parting = end_force_n(area, pressures.steady_mpa)
    backfire = end_force_n(area, pressures.backfire_mpa)
    spacing = widest_gap_mm(joint, screws, design)
    return JointLoad(
        joint=joint.name,
        sealed_area_mm2=area,
        parting_n=parting,
        backfire_n=backfire,
        clamp_low_n=clamp,
        clamp_high_n=sum(load.clamp_high_n for load in loads),
        separation_factor=separation_factor(clamp, parting),
        backfire_factor=separation_factor(clamp, backfire),
        spacing_mm=spacing,
        spacing_limit_mm=_spacing_limit_mm(joint, screws, design),
        bow_mm=_bow_mm(joint, design, spacing, parting),
        bow_limit_mm=_bow_limit_mm(joint, design),
    )


def seal_load(seal: Seal) -> SealLoad | None:
    """A cord's squeeze, fill and corners; None for a gasket."""
    if seal.kind != "cord":
        return None
    section = cord(seal.section_mm)
    found = gland(section, seal.groove_width_mm, seal.groove_depth_mm)
    return SealLoad(
        seal=seal.name,
        joint=seal.joint,
        section_mm=seal.section_mm,
        squeeze=found.squeeze_nominal,
        squeeze_least=found.squeeze_least,
        squeeze_most=found.squeeze_most,
        fill_nominal=found.fill_nominal,
        fill_worst=found.fill_worst,
        corner_radius_mm=least_radius_mm(seal),
        corner_limit_mm=smallest_corner_radius_mm(seal.section_mm),
    )


def least_radius_mm(seal: Seal) -> float:
    """Least radius of the seal's path [mm]: 0 where two segments meet at a sharp corner."""
    path = seal.path
    least = float("inf")
    headings: list[tuple[float, float]] = []
    for index, start in enumerate(path):
        end = path[(index + 1) % len(path)]
        swept = 4.0 * float(np.arctan(start[2]))
        chord = float(np.arctan2(end[1] - start[1], end[0] - start[0]))
        headings.append((chord - swept / 2.0, chord + swept / 2.0))
        if abs(swept) > 1e-9:
            least = min(least, segment_length(start, end) / abs(swept))
    turns = [abs(np.sin((headings[k][0] - headings[k - 1][1]) / 2.0)) for k in range(len(headings))]
    return 0.0 if max(turns) > 0.02 else least


def sealed_area_mm2(joint: Joint, design: Design) -> float:
    """Area inside the joint's seals [mm2]. A gasket round a flange counts only its openings: pressure does not get between
    clamped faces; without any seal the whole flange counts.
    """
    seals = [seal for seal in design.seals if seal.joint == joint.name]
    cords = sum(abs(contour_area(seal.path)) for seal in seals if seal.kind == "cord")
    if cords > 0.0:
        return cords
    openings = _openings_mm2(joint, design)
    if seals and openings > 0.0:
        return openings
    flanges = [abs(contour_area(flange.contour)) for flange in design.flanges if flange.joint == joint.name]
    return max(flanges, default=openings)


def widest_gap_mm(joint: Joint, screws: tuple[Screw, ...], design: Design) -> float:
    """Widest distance between neighbouring screws going round the joint's flange [mm]; 0 with a single screw. Where each of
    several openings has a cord of its own, of the screws that stand nearest to it.
    """
    places, rounds = in_joint_mm(joint.frame, screws), _rounds(joint, design)
    if len(rounds) < 2:
        return _widest_round_mm(places, rounds[0] if rounds else None)
    off = [np.linalg.norm(places[:, None, :] - ring[None, :, :], axis=2).min(axis=1) for ring in rounds]
    own = np.argmin(off, axis=0)
    return max(_widest_round_mm(places[own == k], ring) for k, ring in enumerate(rounds))


def _widest_round_mm(places: Array, contour: Array | None) -> float:
    """Widest distance between neighbouring screws (n, 2) going round a contour (m, 2) [mm]; 0 where there are not two."""
    if len(places) < 2:
        return 0.0
    if contour is not None and len(places) > 2:
        nearest = np.argmin(np.linalg.norm(places[:, None, :] - contour[None, :, :], axis=2), axis=1)
        order = np.argsort(nearest, kind="stable")
    else:
        about = places - places.mean(axis=0)
        order = np.argsort(np.arctan2(about[:, 1], about[:, 0]), kind="stable")
    ordered = places[order]
    return float(np.linalg.norm(np.roll(ordered, -1, axis=0) - ordered, axis=1).max())


def in_joint_mm(frame: Frame, screws: tuple[Screw, ...]) -> Array:
    """Screws' places (n, 2) in a joint's plane, along their own axes."""
    seats = frame.to_local(np.array([screw.seat_mm for screw in screws]))
    directions = np.array([screw.direction for screw in screws]) @ frame.matrix().T
    safe = np.where(np.abs(directions[:, 2]) > 1e-6, directions[:, 2], 1.0)
    return (seats - directions * (seats[:, 2] / safe)[:, None])[:, :2]


def _openings_mm2(joint: Joint, design: Design) -> float:
    """Air's way through the joint: ports of the bank, mouths of the plenum, bore of the throttle nearest to it."""
    if joint.kind == "head" and design.banks:
        bank = _nearest(design.banks, joint)
        return sum(outline_area(port.outline) for port in design.ports if port.bank == bank.name)
    if joint.kind == "runner" and grounds(design):
        ground = _nearest(grounds(design), joint)
        return sum(runner.area_mm2[-1][1] for runner in design.runners if runner.mouth.plenum == ground.name)
    if joint.kind == "split":
        return sum(
            float(np.interp(joint.station_mm / runner.length_mm, *np.array(runner.area_mm2).T))
            for runner in runners_through(joint, design)
        )
    if joint.kind in ("neck", "body") and design.throttles:
        return pi / 4.0 * _nearest(design.throttles, joint).bore_mm ** 2
    return 0.0


def _nearest(items: tuple[Placed, ...], joint: Joint) -> Placed:
    place = joint.frame.origin_mm
    return min(items, key=lambda item: dist(item.frame.origin_mm, place))


def _rounds(joint: Joint, design: Design) -> list[Array]:
    """Points (n, 2) round the joint in its own plane: each cord's path, else its largest flange's contour."""
    cords = [seal for seal in design.seals if seal.joint == joint.name and seal.kind == "cord"]
    if cords:
        return [spread_points(seal.path, _ROUND) for seal in cords]
    flanges = [flange for flange in design.flanges if flange.joint == joint.name]
    if not flanges:
        return []
    largest = max(flanges, key=lambda flange: abs(contour_area(flange.contour)))
    return [joint.frame.to_local(largest.frame.to_world(spread_points(largest.contour, _ROUND)))[:, :2]]


def _spacing_limit_mm(joint: Joint, screws: tuple[Screw, ...], design: Design) -> float:
    flanges = [flange.thickness_mm for flange in design.flanges if flange.joint == joint.name]
    seals = [seal for seal in design.seals if seal.joint == joint.name]
    factor = GASKET_FACTOR["cord" if any(seal.kind == "cord" for seal in seals) else "sheet"]
    smallest = min(thread(screw.thread).major_mm for screw in screws)
    return widest_spacing_mm(smallest, min(flanges, default=0.0), factor)


def _bow_mm(joint: Joint, design: Design, spacing_mm: float, parting_n: float) -> float:
    """Both flanges' opening midway between two screws [mm]: a strip as wide as its thickness and the metal beside the seal,
    held at the screws, under its share of the parting force and the cord's push: w s^4/(384 E I).

    Source key: timoshenko_plates (a beam with held ends).
    """
    paths = [seal.path for seal in design.seals if seal.joint == joint.name and seal.kind == "cord"]
    total = 0.0
    for flange in (item for item in design.flanges if item.joint == joint.name):
        around = sum(contour_length(path) for path in paths or [flange.contour])
        load = parting_n / around + (CORD_PUSH_N_MM if paths else 0.0)
        modulus = material(next(p.material for p in design.pieces if p.name == flange.piece)).modulus_mpa
        inertia = _strip_mm(flange, bool(paths), around, joint, design) * flange.thickness_mm**3 / 12.0
        total += load * spacing_mm**4 / (384.0 * modulus * inertia)
    return total


def _strip_mm(flange: Flange, sealed: bool, around_mm: float, joint: Joint, design: Design) -> float:
    """Width of the strip that bends: the metal outside the seal and as much again inside, at least the thickness."""
    rim = (abs(contour_area(flange.contour)) - sealed_area_mm2(joint, design)) / around_mm if sealed else 0.0
    return max(2.0 * rim, flange.thickness_mm)


def _bow_limit_mm(joint: Joint, design: Design) -> float:
    cords = [seal for seal in design.seals if seal.joint == joint.name and seal.kind == "cord"]
    if not cords:
        return SHEET_FOLLOWS_MM
    section = cord(cords[0].section_mm)
    found = gland(section, cords[0].groove_width_mm, cords[0].groove_depth_mm)
    return max(0.0, (found.squeeze_least - SQUEEZE_KEPT) * (section.section_mm - section.section_tolerance_mm))
