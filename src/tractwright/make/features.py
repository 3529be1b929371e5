"""What has to be cut on a piece, read off its joints, screws, seals and runners: from where each feature can be cut, what has
to be there before, and how much of it there is. The words are the trade's; the order is common practice, no source.
"""

from dataclasses import replace
from functools import partial

import numpy as np

from tractwright.design.boss import Boss
from tractwright.design.boss_space import carrier
from tractwright.design.housing import housing_of
from tractwright.design.passing import pass_through, runners_through
from tractwright.design.records import Design, Piece, Runner
from tractwright.design.throttled import throttles_through
from tractwright.design.tube import centreline
from tractwright.geometry.frames import Vec3, unit, vec3
from tractwright.make.face_features import of_face
from tractwright.make.feature import Face, Feature, bore_name, faces_of

_ONE_WAY = 0.996
"""Cosine between two directions that one set-up cuts. Judgement."""
_LEANS = 0.978
"""The same of a passage and its face, or of two passages: a ball cutter comes in 12 deg askew. Judgement."""


def features_of(design: Design, piece: Piece) -> tuple[Feature, ...]:
    """Everything to cut on a piece but its outside, in no order."""
    faces = faces_of(design, piece)
    found = [feature for face in faces for feature in of_face(design, piece, face)]
    found += [*_passages(design, piece, faces), *_chamber(design, piece), *_bosses(design, piece)]
    return tuple(found)


def let_go_before_finishing(features: tuple[Feature, ...]) -> tuple[Feature, ...]:
    """The same, each joint face finished only after everything heavy was cut in an earlier set-up (common practice)."""
    bulk = frozenset(f.name for f in features if f.work in ("rough face", "inside", "outside"))
    return tuple(replace(f, earlier=f.earlier | bulk) if f.work == "finish face" else f for f in features)


def _passages(design: Design, piece: Piece, faces: tuple[Face, ...]) -> list[Feature]:
    """Runner passages, from each face they come out at, those of one direction together; a plenum's mouths are cut from
    inside with their lips.
    """
    if piece.kind not in ("head", "middle"):
        return []
    ends = [face for face in faces if face.joint.kind in ("head", "split", "runner")]
    share = 1.0 / max(1, len(ends)) / sum(1 for p in design.pieces if p.kind in ("head", "middle"))
    found: list[Feature] = []
    for face in ends:
        alike = _by_way(design, piece, face)
        for way, runners in alike.items():
            some = "" if len(alike) == 1 else " " + ", ".join(runner.name for runner in runners)
            volume, area = _amounts(runners)
            found.append(
                Feature(
                    name=f"passages{some} from the {face.name}", work="passages", directions=(way,), at_mm=face.at_mm,
                    face=face.name, count=len(runners), volume_mm3=volume * share, area_mm2=area * share,
                )
            )  # fmt: skip
    return found


def _by_way(design: Design, piece: Piece, face: Face) -> dict[Vec3, list[Runner]]:
    """The runners that come out at a face by the way they come: straight out of it, or leaning."""
    flange = next((f for f in design.flanges if (f.piece, f.joint) == (piece.name, face.joint.name)), None)
    found: dict[Vec3, list[Runner]] = {}
    for runner in runners_through(face.joint, design):
        line = centreline(runner, design)
        met = None if flange is None else pass_through(line, flange)
        way = np.array(face.out)
        if met is not None and abs(met.square) < _LEANS:
            at = np.array([np.interp(met.station_mm, line.s_mm, line.tangents[:, k]) for k in range(3)])
            way = unit(at) * np.sign(at @ way)
        near = next((known for known in found if float(np.dot(known, way)) > _LEANS), vec3(way))
        found.setdefault(near, []).append(runner)
    return found


def _amounts(runners: list[Runner]) -> tuple[float, float]:
    """Metal in passages [mm3] and their surface [mm2], over their whole length."""
    volume = sum(float(np.mean([a for _, a in r.area_mm2])) * r.length_mm for r in runners)
    return volume, sum(3.6 * float(np.sqrt(np.mean([a for _, a in r.area_mm2]))) * r.length_mm for r in runners)


def _chamber(design: Design, piece: Piece) -> list[Feature]:
    """The plenum's inside with its lips; the bore of a throttle neck or of the pad behind it."""
    found: list[Feature] = []
    if piece.kind == "plenum":
        for plenum in (item for item in design.plena if housing_of(item, design) == piece.name):
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
        for throttle in throttles_through(piece, design):
            out = throttle.frame.z
            length = throttle.neck_mm if piece.kind == "neck" else 10.0
            ways = (out, vec3(-np.array(out))) if piece.kind == "neck" else (out,)
            found.append(
                Feature(
                    name=bore_name(throttle, design), work="bore",
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
        starts = tuple(vec3(top) for top in tops)
        found.append(plain(name=name, work="boss", diameter_mm=hole, depth_mm=deep, thread=size, starts_mm=starts))
        found += [
            plain(name=f"{name} step {k}", work="seats", diameter_mm=w, depth_mm=d, first=frozenset({name}))
            for k, (w, d) in enumerate(steps, start=1)
        ]
    return found
