"""What has to be cut in and round a joint face: the face, its holes, seats, threads, groove, pockets."""

from functools import partial

import numpy as np

from tractwright.design.records import Design, Flange, Piece, Pocket, Screw
from tractwright.geometry.contours import contour_area, contour_length, least_radius, spread_points
from tractwright.geometry.frames import Vec3, unit, vec3
from tractwright.make.feature import Face, Feature
from tractwright.standards.fixture_pairs import FixturePair, fixture_threads_for

_LEAST_METAL_MM = 3.0
_RIM_POINTS = 12
FIXTURE_SCREWS = 6
"""No more of the holes than that get a fixture thread. Judgement."""


def of_face(design: Design, piece: Piece, face: Face) -> list[Feature]:
    """Everything to cut on a joint face."""
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
                    volume_mm3=contour_area(pocket.contour) * pocket.depth_mm, starts_mm=_rim(flange, pocket),
                )
            )  # fmt: skip
    return found


def _rim(flange: Flange, pocket: Pocket) -> tuple[Vec3, ...]:
    """Points of a pocket's outline, on the flange's outer face."""
    flat = spread_points(pocket.contour, _RIM_POINTS)
    return tuple(
        vec3(at) for at in flange.frame.to_world(np.column_stack([flat, np.full(len(flat), flange.thickness_mm)]))
    )


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
                starts_mm=tuple(_over_seat(item) for item in face.passing),
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


def _over_seat(screw: Screw) -> Vec3:
    """Where the surface lies that a screw's seat is sunk into, or stands on."""
    return vec3(np.array(screw.seat_mm) + min(0.0, screw.standoff_mm) * unit(screw.direction))


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
