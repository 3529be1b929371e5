"""What has to be cut on a piece, read off its joints, screws, seals and runners: from where each feature can be cut, what has
to be there before, and how much of it there is. The words are the trade's; the order is common practice, no source.
"""

from dataclasses import dataclass, field, replace
from functools import partial
from typing import Literal

import numpy as np

from tractwright.design.boss import Boss
from tractwright.design.boss_space import carrier
from tractwright.design.passing import runners_through
from tractwright.design.records import Design, Joint, Piece, Screw
from tractwright.geometry.contours import contour_area, contour_length, least_radius
from tractwright.geometry.frames import Vec3, unit, vec3
from tractwright.standards.fixture_pairs import FixturePair, fixture_threads_for

Work = Literal[
    "rough face", "finish face", "holes", "threads", "fixture threads", "dowel holes", "seats", "groove", "inside", "bore",
    "passages", "pocket", "boss", "outside",
]  # fmt: skip
_WORDS = {
    ("head", 1): "head face", ("runner", 0): "mouth face", ("runner", 1): "entry face", ("cover", 0): "cover face",
    ("cover", 1): "seal face", ("neck", 0): "throttle pad", ("neck", 1): "neck face", ("body", 0): "body face",
    ("split", 0): "split face", ("split", 1): "split face",
}  # fmt: skip
_LEAST_METAL_MM = 3.0
_ONE_WAY = 0.996
"""Cosine between two directions that one set-up cuts. Judgement."""
FIXTURE_SCREWS = 6
"""No more of the holes than that get a fixture thread. Judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A joint face of a piece: its word, its joint, out of the metal, a point of it; screws that pass, screws tapped here."""

    name: str
    joint: Joint
    out: Vec3
    at_mm: Vec3
    passing: tuple[Screw, ...]
    tapped: tuple[Screw, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """One thing to cut. directions : any of these, from the work to the spindle; at_mm : where, for the fixture's sake.

    first : features that come before it, in the same set-up or earlier; earlier : in an earlier one, the part let go since.
    count, diameter_mm, depth_mm, thread : of holes; area_mm2, volume_mm3 : of surface and of metal to take away.
    optional : cut only where a hold needs it.
    """

    name: str
    work: Work
    directions: tuple[Vec3, ...]
    at_mm: Vec3
    face: str = ""
    first: frozenset[str] = field(default_factory=frozenset[str])
    earlier: frozenset[str] = field(default_factory=frozenset[str])
    count: int = 0
    diameter_mm: float = 0.0
    depth_mm: float = 0.0
    thread: str = ""
    area_mm2: float = 0.0
    volume_mm3: float = 0.0
    optional: bool = False


def faces_of(design: Design, piece: Piece) -> tuple[Face, ...]:
    """The joint faces of a piece, named as the trade names them; a word used twice carries its joint's name."""
    joints = [joint for joint in design.joints if piece.name in joint.pieces]
    words = [_word(joint, piece) for joint in joints]
    return tuple(
        _face(design, piece, joint, word if words.count(word) == 1 else f"{word} {joint.name}")
        for joint, word in zip(joints, words, strict=True)
    )


def _word(joint: Joint, piece: Piece) -> str:
    place = joint.pieces.index(piece.name)
    return "floor face" if (joint.kind, place, piece.kind) == ("runner", 1, "plenum") else _WORDS[joint.kind, place]


def _face(design: Design, piece: Piece, joint: Joint, name: str) -> Face:
    side = 1.0 if joint.pieces[0] == piece.name else -1.0
    screws = [screw for screw in design.screws if screw.joint == joint.name]
    return Face(
        name=name,
        joint=joint,
        out=vec3(side * unit(joint.frame.z)),
        at_mm=joint.frame.origin_mm,
        passing=tuple(s for s in screws if s.tapped_in != piece.name),
        tapped=tuple(s for s in screws if s.tapped_in == piece.name),
    )


def features_of(design: Design, piece: Piece) -> tuple[Feature, ...]:
    """Everything to cut on a piece but its outside, in no order."""
    faces = faces_of(design, piece)
    found = [feature for face in faces for feature in _of_face(design, piece, face)]
    found += [*_passages(design, piece, faces), *_chamber(design, piece), *_bosses(design, piece)]
    return tuple(found)


def let_go_before_finishing(features: tuple[Feature, ...]) -> tuple[Feature, ...]:
    """The same, each joint face finished only after everything heavy was cut in an earlier set-up (common practice)."""
    bulk = frozenset(f.name for f in features if f.work in ("rough face", "inside", "outside"))
    return tuple(replace(f, earlier=f.earlier | bulk) if f.work == "finish face" else f for f in features)


def _of_face(design: Design, piece: Piece, face: Face) -> list[Feature]:
    rough, finish = f"{face.name} roughed", f"{face.name} finished"
    plain = partial(Feature, directions=(face.out,), at_mm=face.at_mm, face=face.name)
    found = [
        plain(name=rough, work="rough face"),
        plain(name=finish, work="finish face", first=frozenset({rough})),
        *_screw_features(face, rough),
        *_throttle_holes(design, face, rough),
    ]
    dowels = [dowel for dowel in design.dowels if dowel.joint == face.joint.name]
    if dowels:
        depth = max(max(d.depth_first_mm, d.depth_second_mm) for d in dowels)
        found.append(
            plain(
                name=f"{face.name} dowel holes", work="dowel holes", first=frozenset({finish}), count=len(dowels),
                diameter_mm=dowels[0].diameter_mm, depth_mm=depth,
            )
        )  # fmt: skip
    for seal in design.seals:
        if seal.joint == face.joint.name and seal.kind == "cord" and seal.piece == piece.name:
            found.append(
                plain(
                    name=f"{face.name} groove", work="groove", first=frozenset({finish}), diameter_mm=seal.groove_width_mm,
                    depth_mm=seal.groove_depth_mm, area_mm2=seal.length_mm * seal.groove_width_mm,
                )
            )  # fmt: skip
    for pocket in design.pockets:
        flange = next(item for item in design.flanges if item.name == pocket.flange)
        if flange.piece == piece.name and flange.joint == face.joint.name:
            found.append(
                Feature(
                    name=f"pocket {pocket.name}", work="pocket", directions=(vec3(-np.array(face.out)),),
                    at_mm=face.at_mm, depth_mm=pocket.depth_mm, diameter_mm=2.0 * least_radius(pocket.contour),
                    area_mm2=contour_area(pocket.contour) + contour_length(pocket.contour) * pocket.depth_mm,
                    volume_mm3=contour_area(pocket.contour) * pocket.depth_mm,
                )
            )  # fmt: skip
    return found


def _screw_features(face: Face, rough: str) -> list[Feature]:
    back = vec3(-np.array(face.out))
    found: list[Feature] = []
    if face.passing:
        screw = face.passing[0]
        plain = partial(Feature, at_mm=face.at_mm, face=face.name)
        count = len(face.passing)
        hole = f"{face.name} screw holes"
        found += [
            plain(
                name=hole, work="holes", directions=(face.out, back), diameter_mm=screw.clearance_mm,
                depth_mm=screw.grip_mm, first=frozenset({rough}), count=count,
            ),
            plain(
                name=f"{face.name} screw seats", work="seats", directions=(vec3(-unit(screw.direction)),),
                diameter_mm=max(screw.counterbore_mm, screw.post_mm), depth_mm=max(0.0, -screw.standoff_mm), count=count,
            ),
        ]  # fmt: skip
        pair = fixture_pair_of(face)
        if pair is not None:
            found.append(
                plain(
                    name=f"{face.name} fixture threads", work="fixture threads", directions=(face.out,), thread=pair.fixture,
                    diameter_mm=pair.mouth_mm, depth_mm=fixture_depth(face, pair), first=frozenset({rough}),
                    optional=True, count=min(FIXTURE_SCREWS, count),
                )
            )  # fmt: skip
    if face.tapped:
        screw = face.tapped[0]
        found.append(
            Feature(
                name=f"{face.name} threads", work="threads", directions=(face.out,), at_mm=face.at_mm, face=face.name,
                count=len(face.tapped), thread=screw.thread, depth_mm=screw.drill_depth_mm, first=frozenset({rough}),
            )
        )  # fmt: skip
    return found


def fixture_pair_of(face: Face) -> FixturePair | None:
    """The thread a screw hole may carry for the fixture, cut from the joint's side only: the tightest that the screw still
    passes and that leaves its head a seat, of the screw's own system where there is one; None where there is none or the
    metal is too thin for it.
    """
    screw = face.passing[0]
    pairs = sorted(fixture_threads_for(screw.thread), key=lambda pair: pair.fixture[0] != screw.thread[0])
    for pair in pairs:
        if fixture_depth(face, pair) >= 0.6 * pair.mouth_mm and pair.mouth_mm < screw.clearance_mm + 3.0:
            return pair
    return None


def fixture_depth(face: Face, pair: FixturePair) -> float:
    """How deep a fixture thread may go from the joint [mm]: short of the seat, at most its own diameter."""
    return min(pair.mouth_mm, min(screw.grip_mm for screw in face.passing) - _LEAST_METAL_MM)


def _throttle_holes(design: Design, face: Face, rough: str) -> list[Feature]:
    if face.joint.kind != "body":
        return []
    holes = [t for t in design.throttles if np.allclose(t.frame.origin_mm, face.at_mm, atol=0.5)]
    return [
        Feature(
            name=f"{face.name} threads", work="threads", directions=(face.out,), at_mm=face.at_mm, face=face.name,
            count=len(t.holes_mm), thread=t.hole_thread, depth_mm=12.0, first=frozenset({rough}),
        )
        for t in holes if t.holes_mm
    ]  # fmt: skip


def _passages(design: Design, piece: Piece, faces: tuple[Face, ...]) -> list[Feature]:
    """Runner passages, from each face they come out at; a plenum's mouths are cut from inside with their lips."""
    if piece.kind not in ("head", "middle"):
        return []
    ends = [face for face in faces if face.joint.kind in ("head", "split", "runner")]
    share = 1.0 / max(1, len(ends))
    volume = sum(float(np.mean([a for _, a in r.area_mm2])) * r.length_mm for r in design.runners)
    area = sum(3.6 * float(np.sqrt(np.mean([a for _, a in r.area_mm2]))) * r.length_mm for r in design.runners)
    parts = sum(1 for p in design.pieces if p.kind in ("head", "middle"))
    return [
        Feature(
            name=f"passages from the {face.name}", work="passages", directions=(face.out,), at_mm=face.at_mm,
            face=face.name, count=len(runners_through(face.joint, design)), volume_mm3=volume * share / parts,
            area_mm2=area * share / parts,
        )
        for face in ends
    ]  # fmt: skip


def _chamber(design: Design, piece: Piece) -> list[Feature]:
    """The plenum's inside with its lips; the bore of a throttle neck or of the pad behind it."""
    found: list[Feature] = []
    if piece.kind == "plenum":
        for plenum in design.plena:
            joint = next((j for j in design.joints if j.kind == "cover" and j.pieces[0] == piece.name), None)
            at = plenum.frame.to_world((0.0, 0.0, plenum.floor_mm + plenum.depth_mm))
            area = 2 * (plenum.width_mm + plenum.height_mm) * plenum.depth_mm + plenum.width_mm * plenum.height_mm
            found.append(
                Feature(
                    name=f"inside of {plenum.name} with lips", work="inside", directions=(plenum.frame.z,), at_mm=vec3(at),
                    face=joint.name if joint else "", area_mm2=area, depth_mm=plenum.depth_mm,
                    diameter_mm=2 * plenum.corner_radius_mm,
                    volume_mm3=plenum.width_mm * plenum.height_mm * plenum.depth_mm,
                )
            )  # fmt: skip
    if piece.kind in ("plenum", "cover", "neck"):
        joints = {j.name for j in design.joints if piece.name in j.pieces and j.kind == "neck"}
        for throttle in design.throttles if joints else ():
            out = throttle.frame.z
            length = throttle.neck_mm if piece.kind == "neck" else 10.0
            ways = (out, vec3(-np.array(out))) if piece.kind == "neck" else (out,)
            found.append(
                Feature(
                    name=f"bore {throttle.name}" if len(design.throttles) > 1 else "throttle bore", work="bore",
                    directions=ways, at_mm=throttle.frame.origin_mm, diameter_mm=throttle.bore_mm, depth_mm=length,
                    area_mm2=np.pi * throttle.bore_mm * length, volume_mm3=np.pi / 4 * throttle.bore_mm**2 * length,
                )
            )  # fmt: skip
    return found


def _bosses(design: Design, piece: Piece) -> list[Feature]:
    """The bosses of a piece: holes of one direction, drill and thread together, then their steps, widest first."""
    groups: dict[tuple[Vec3, float, str, tuple[tuple[float, float], ...]], list[Boss]] = {}
    for boss in design.bosses:
        if carrier(boss, design) == piece.name:
            near = next((key[0] for key in groups if float(np.dot(key[0], boss.axis)) > _ONE_WAY), boss.axis)
            groups.setdefault((near, boss.hole_mm, boss.thread, boss.pocket_mm), []).append(boss)
    found: list[Feature] = []
    for number, ((axis, hole, size, steps), alike) in enumerate(groups.items(), start=1):
        tops = [np.array(boss.at_mm) + boss.height_mm * np.array(boss.axis) for boss in alike]
        plain = partial(Feature, directions=(axis,), at_mm=vec3(np.mean(tops, axis=0)), count=len(alike))
        name = f"boss holes {number}"
        deep = max(boss.hole_depth_mm for boss in alike)
        found.append(plain(name=name, work="boss", diameter_mm=hole, depth_mm=deep, thread=size))
        found += [
            plain(name=f"{name} step {k}", work="seats", diameter_mm=w, depth_mm=d, first=frozenset({name}))
            for k, (w, d) in enumerate(steps, start=1)
        ]
    return found
