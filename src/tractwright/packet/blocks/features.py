"""Cutters of single features of the making plan, by the names it gives them."""

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from tractwright.design.housing import housing_of
from tractwright.design.records import Design, Piece, Screw, Throttle
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Vec3, vec3
from tractwright.kernel.checked import Checked, checked
from tractwright.make.face_features import FIXTURE_SCREWS, fixture_depth, fixture_pair_of
from tractwright.make.feature import Face
from tractwright.route.layout.chamber import FLOOR_RADIUS_MM
from tractwright.shape.parts.bodies import prism, turned
from tractwright.shape.parts.finishes import BEYOND_MM
from tractwright.shape.parts.grooves import flange_pockets, seal_grooves
from tractwright.shape.parts.holes import along, dowel_holes, screw_holes, throttle_holes
from tractwright.shape.parts.walls import inner_contour

Cutters = Callable[[], list[Checked]]
_PAST_MM = 10.0


def cutters_of(design: Design, piece: Piece, faces: tuple[Face, ...]) -> dict[str, Cutters]:
    """For each feature that leaves a hollow, what cuts it; rough and finished faces and the outside stand elsewhere."""
    found = dict(_of_faces(design, piece, faces))
    for plenum in (item for item in design.plena if housing_of(item, design) == piece.name):
        over = plenum.floor_mm + FLOOR_RADIUS_MM
        frame = plenum.frame.moved((0.0, 0.0, over))
        space = (inner_contour(plenum), frame, plenum.floor_mm + plenum.depth_mm - over + BEYOND_MM)
        found[f"inside of {plenum.name} with lips"] = lambda space=space: [prism(*space)]
    for pocket in design.pockets:
        only = replace(design, pockets=(pocket,))
        found[f"pocket {pocket.name}"] = lambda only=only: flange_pockets(piece.name, only)
    return found


def passage_cutters(design: Design) -> list[Checked]:
    """Every runner's passage, running out past both ends."""
    from tractwright.kernel.skins import skin_solid
    from tractwright.packet.exports.passages import passage_points

    return [checked(skin_solid(passage_points(runner, design))) for runner in design.runners]


def throttle_bore(throttle: Throttle, design: Design) -> Checked:
    """A throttle's bore, from outside its face to inside the plenum's wall."""
    wall = next((p.wall_mm for p in design.plena if p.name == throttle.plenum), 0.0)
    radius, deep = throttle.bore_mm / 2.0, throttle.neck_mm + wall + _PAST_MM
    profile: Contour = ((0.0, -deep, 0.0), (radius, -deep, 0.0), (radius, _PAST_MM, 0.0), (0.0, _PAST_MM, 0.0))
    return turned(profile, throttle.frame)


def _of_faces(design: Design, piece: Piece, faces: tuple[Face, ...]) -> Iterator[tuple[str, Cutters]]:
    for face in faces:
        bare = replace(design, screws=(), dowels=(), seals=(), pockets=())
        passing = replace(bare, screws=face.passing)
        flush = replace(bare, screws=tuple(map(_flush, face.passing)))
        tapped = replace(bare, screws=face.tapped)
        pins = replace(bare, dowels=tuple(d for d in design.dowels if d.joint == face.joint.name))
        seals = replace(bare, seals=tuple(s for s in design.seals if s.joint == face.joint.name))
        yield f"{face.name} screw holes", lambda d=flush: screw_holes(piece.name, d)
        yield f"{face.name} screw seats", lambda d=passing: screw_holes(piece.name, d)
        yield f"{face.name} fixture threads", lambda f=face: _fixture_threads(f)
        if face.tapped or face.joint.kind != "body":
            yield f"{face.name} threads", lambda d=tapped: screw_holes(piece.name, d)
        else:
            yield f"{face.name} threads", lambda d=bare: throttle_holes(piece.name, d)
        yield f"{face.name} dowel holes", lambda d=pins: dowel_holes(piece.name, d)
        yield f"{face.name} groove", lambda d=seals: seal_grooves(piece.name, d)


def _flush(screw: Screw) -> Screw:
    """A screw's hole alone, without its seat."""
    return replace(screw, standoff_mm=max(0.0, screw.standoff_mm), counterbore_mm=0.0, slot_mm=0.0)


def _fixture_threads(face: Face) -> list[Checked]:
    pair = fixture_pair_of(face)
    if pair is None:
        return []
    radius, deep = pair.mouth_mm / 2.0, fixture_depth(face, pair)
    profile = ((0.0, -deep, 0.0), (radius, -deep, 0.0), (radius, BEYOND_MM, 0.0), (0.0, BEYOND_MM, 0.0))
    return [turned(profile, along(in_joint(screw), face.out)) for screw in face.passing[:FIXTURE_SCREWS]]


def in_joint(screw: Screw) -> Vec3:
    """Where a screw crosses its joint [job frame]."""
    return vec3(np.array(screw.seat_mm) + np.array(screw.direction) * screw.grip_mm)
