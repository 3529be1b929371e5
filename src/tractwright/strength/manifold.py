"""The built pieces as one elastic body: what is tied to what, what is held, where the air presses."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import radians, tan

import numpy as np
from scipy.sparse import csr_array

from tractwright.design.records import Design, Joint, Screw
from tractwright.geometry.contours import polyline, spread_points
from tractwright.geometry.frames import Array
from tractwright.standards.materials import material
from tractwright.strength.finite.body import Body, Chosen, Skin, side_by_side
from tractwright.strength.finite.elastic import Held, held, of_metal, pressed_n, pulled_n, system
from tractwright.strength.finite.ties import tied
from tractwright.strength.inside import bores_of, in_plane, pressed_inside
from tractwright.strength.joints import CORD_PUSH_N_MM, in_joint_mm
from tractwright.strength.screws import seat_ring_mm

_CONE = tan(radians(30.0))
"""How a screw's clamp spreads under its head. Source key: shop_judgement."""
_BED_OF_MODULUS_MM = 1.0
_ON_PATH = 240


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Part:
    """A piece among the bodies: its name, its own nodes (first, past the last), its skin by the whole's nodes."""

    piece: str
    first: int
    past: int
    skin: Skin


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Manifold:
    """Everything tied and held. pressed_n : (n, 3) forces of 1 MPa inside; cords_n : of the cords' own push."""

    design: Design
    held: Held
    parts: tuple[Part, ...]
    pressed_n: Array
    cords_n: Array
    notes: tuple[str, ...]

    @property
    def body(self) -> Body:
        """All bodies side by side."""
        return self.held.system.body


def manifold(design: Design, names: Sequence[str], bodies: Sequence[Body]) -> Manifold:
    """The pieces of those names as one. Raises KernelError where a piece hangs on nothing."""
    whole, firsts = side_by_side(bodies)
    parts = tuple(
        Part(piece=name, first=first, past=first + len(one.points_mm), skin=one.skin.after(first))
        for name, one, first in zip(names, bodies, firsts, strict=True)
    )
    metals = {piece.name: material(piece.material) for piece in design.pieces}
    made_of = [of_metal(one, metals[name]) for name, one in zip(names, bodies, strict=True)]
    elastic, density = (np.concatenate([one[k] for one in made_of]) for k in (0, 1))
    free = system(whole, elastic, density, _given(design, parts, len(whole.points_mm)))
    stiff = min(metals[name].modulus_mpa for name in names) / _BED_OF_MODULUS_MM
    ties = csr_array((len(free.starts) - 1,) * 2)
    for joint in design.joints:
        pair = [part for name in joint.pieces for part in parts if part.piece == name]
        if len(pair) == 2:
            pressed_together = under_screws(pair[0].skin, joint, design)
            flat = pair[1].skin.part(in_plane(pair[1].skin, joint.frame))
            ties = csr_array(ties + tied(whole, free.number, pressed_together, flat, joint.frame, stiff))
    pressed, notes = _pressed(design, parts, whole.points_mm)
    return Manifold(
        design=design,
        held=held(free, ties),
        parts=parts,
        pressed_n=pressed,
        cords_n=_cords(design, parts, whole),
        notes=notes,
    )


def ring_mm(screw: Screw, design: Design) -> float:
    """How far round its axis a screw presses the faces of its joint together [mm]."""
    flanges = [flange.thickness_mm for flange in design.flanges if flange.joint == screw.joint]
    return seat_ring_mm(screw)[0] / 2.0 + _CONE * min(screw.grip_mm, *flanges, screw.grip_mm)


def under_screws(skin: Skin, joint: Joint, design: Design) -> Skin:
    """What of a skin lies in the joint's plane and is pressed there by its screws."""
    screws = tuple(screw for screw in design.screws if screw.joint == joint.name)
    flat = skin.part(in_plane(skin, joint.frame))
    if not screws:
        return flat
    places = joint.frame.to_local(flat.middles_mm)[:, None, :2] - in_joint_mm(joint.frame, screws)[None]
    rings = np.array([ring_mm(screw, design) for screw in screws])
    return flat.part((np.linalg.norm(places, axis=2) < rings).any(axis=1))


def _given(design: Design, parts: Sequence[Part], count: int) -> Chosen:
    given = np.zeros((count, 3), dtype=np.bool_)
    for joint in (one for one in design.joints if "engine" in one.pieces):
        for part in (one for one in parts if one.piece in joint.pieces):
            given[under_screws(part.skin, joint, design).nodes] = True
    return given


def _pressed(design: Design, parts: Sequence[Part], points_mm: Array) -> tuple[Array, tuple[str, ...]]:
    """Forces of 1 MPa on every skin the air touches, inside the cords, and on a shut throttle."""
    count = len(points_mm)
    forces, notes = np.zeros((count, 3)), list[str]()
    bores = bores_of(design)
    for part in parts:
        at_joints = np.zeros(len(part.skin.area_mm2), dtype=np.bool_)
        sealed = at_joints.copy()
        for joint in (one for one in design.joints if part.piece in one.pieces):
            flat = in_plane(part.skin, joint.frame)
            at_joints |= flat
            sealed |= flat & _within_cord(part.skin, joint, design)
        at_joints |= _in_holes(part.skin, design)
        inside = pressed_inside(part.skin, points_mm, at_joints, bores)
        if inside is None:
            notes.append(
                f"{part.piece}: its inside opens to the outside by more than its joints: pressed at its joints only"
            )
            inside = sealed
        forces += pressed_n(part.skin.part(inside | sealed), count, 1.0)
    return forces + _on_throttles(design, parts, count), tuple(notes)


def _on_throttles(design: Design, parts: Sequence[Part], count: int) -> Array:
    """What a shut throttle of 1 MPa behind it pulls on its flange."""
    forces = np.zeros((count, 3))
    for joint in (one for one in design.joints if "throttle_body" in one.pieces):
        bored_mm2 = _bored_mm2(joint, design)
        for part in (one for one in parts if one.piece in joint.pieces):
            flat = part.skin.part(in_plane(part.skin, joint.frame))
            if len(flat.area_mm2):
                away = np.array(joint.frame.z) if joint.pieces[1] == "throttle_body" else -np.array(joint.frame.z)
                forces += pulled_n(flat, count, away * bored_mm2 / flat.area_mm2.sum())
    return forces


def _bored_mm2(joint: Joint, design: Design) -> float:
    """Area of the throttles on a joint [mm2]: of all bodies on the mouths, else of the nearest."""
    rows = {row.name for row in design.body_rows if np.allclose(row.frame.origin_mm, joint.frame.origin_mm)}
    on_it = [one.bore_mm for one in design.throttles if one.plenum in rows]
    at = np.array(joint.frame.origin_mm)
    nearest = min(design.throttles, key=lambda one: float(np.linalg.norm(np.array(one.frame.origin_mm) - at))).bore_mm
    return sum(np.pi / 4.0 * bore**2 for bore in on_it or [nearest])


def _within_cord(skin: Skin, joint: Joint, design: Design) -> Chosen:
    """Which triangles lie inside a cord of the joint, seen along its axis."""
    places = joint.frame.to_local(skin.middles_mm)[:, :2]
    found = np.zeros(len(places), dtype=np.bool_)
    for seal in design.seals:
        if seal.joint == joint.name and seal.kind == "cord":
            found ^= _inside_of(polyline(seal.path, 0.1), places)
    return found


def _inside_of(ring: Array, places: Array) -> Chosen:
    """Even and odd crossings of a ray along x."""
    one, other = ring[None], np.roll(ring, -1, axis=0)[None]
    x, y = places[:, :1], places[:, 1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        at = one[..., 0] + (y - one[..., 1]) / (other[..., 1] - one[..., 1]) * (other[..., 0] - one[..., 0])
    crossed = ((one[..., 1] > y) != (other[..., 1] > y)) & (x < at)
    return np.asarray(crossed.sum(axis=1) % 2 == 1)


def _in_holes(skin: Skin, design: Design) -> Chosen:
    """Which triangles lie in the holes through bosses: they are plugged."""
    found = np.zeros(len(skin.area_mm2), dtype=np.bool_)
    for boss in design.bosses:
        axis, from_top = np.array(boss.axis), skin.middles_mm - np.array(boss.at_mm)
        high = from_top @ axis
        out = np.linalg.norm(from_top - high[:, None] * axis, axis=1)
        widest = max([boss.hole_mm, *(diameter for diameter, _ in boss.pocket_mm)])
        found |= (out < 0.51 * widest) & (high < boss.height_mm + 0.1) & (high > boss.height_mm - boss.hole_depth_mm)
    return found


def _cords(design: Design, parts: Sequence[Part], whole: Body) -> Array:
    """Each cord pushes the two faces apart along its path, on the nodes of the flat faces nearest to it."""
    forces = np.zeros_like(whole.points_mm)
    for joint, nodes, sign, length in along_cords(design, parts, whole):
        push = sign * CORD_PUSH_N_MM * length / len(nodes)
        np.add.at(forces, nodes, push * np.array(joint.frame.z))
    return forces


def along_cords(design: Design, parts: Sequence[Part], whole: Body) -> list[tuple[Joint, np.ndarray, float, float]]:
    """Joint, nodes along its cord, which way that face is pushed along the joint's z, length of the cord [mm]."""
    found: list[tuple[Joint, np.ndarray, float, float]] = []
    for joint in design.joints:
        for seal in (one for one in design.seals if one.joint == joint.name and one.kind == "cord"):
            path = spread_points(seal.path, _ON_PATH)
            length = float(np.linalg.norm(np.roll(path, -1, axis=0) - path, axis=1).sum())
            for part in (one for one in parts if one.piece in joint.pieces):
                sign = 1.0 if part.piece == joint.pieces[1] else -1.0
                nodes = nearest_in_plane(whole, part.skin, joint, path)
                if len(nodes):
                    found.append((joint, nodes, sign, length))
    return found


def nearest_in_plane(whole: Body, skin: Skin, joint: Joint, places: Array) -> np.ndarray:
    """For each place (k, 2) in the joint's plane the node of the skin's flat face there that is nearest; none, none."""
    flat = np.unique(skin.nodes[in_plane(skin, joint.frame)])
    if not len(flat):
        return flat
    there = joint.frame.to_local(whole.points_mm[flat])[:, :2]
    return flat[np.argmin(np.linalg.norm(places[:, None] - there[None], axis=2), axis=1)]
