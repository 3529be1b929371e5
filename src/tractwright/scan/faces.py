"""Which flat face bolts to the head, and which one carried the throttle body."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tractwright.errors import ScanError
from tractwright.geometry.frames import Array, Vec3
from tractwright.geometry.meshes import Mesh
from tractwright.scan.likeness import RIVAL, head_score, is_bore, is_in_ring, port_rims, ring_of
from tractwright.scan.openings import Opening, measured_ports, measured_screws, measured_slot
from tractwright.scan.planes import FlatFace, cells_of, flat_faces, refitted
from tractwright.scan.rims import CutFace, Rim, cut_face

ACCEPTED = "a scan that shows the head flange's face, or [scan] head_face_at: a point on it"
PICKED_MM = 6.0
"""A picked point lies so near to the plane of the face that is meant; judgement."""
DOUBTED = 0.45
"""How sure a face is at most that another one rivals, and a throttle's whose holes lie unevenly round its bore; judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class HeadFace:
    """The face that bolts to the head: its ports, its screw holes (slots among them), and larger openings that are no ports.

    vague : rims of openings that no outline could be fitted to; likes : other faces that might be a head's as well, the
    other bank's or a mistaken one's; sure : how sure it is the head's face, 0..1, for what else might be it.
    """

    cut: CutFace
    ports: tuple[Opening, ...]
    screws: tuple[Opening, ...]
    others: tuple[Opening, ...]
    vague: tuple[Rim, ...] = ()
    likes: tuple["HeadFace", ...] = ()
    sure: float = 1.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class ThrottleSeat:
    """The face the throttle body sat on: one large bore with a ring of holes. sure : how sure it is that face, 0..1."""

    cut: CutFace
    bore: Opening
    holes: tuple[Opening, ...]
    sure: float = 1.0


def find_faces(mesh: Mesh, cylinders: int | None, at_mm: Vec3 | None = None) -> tuple[HeadFace, ThrottleSeat | None]:
    """The head face, and the throttle's if the scan shows one.

    cylinders : of the engine, if known: that many openings are ports, or twice or half as many. at_mm : a point on the
    head face, picked by a person. Raises ScanError where no face has openings in a row and screw holes.
    """
    cuts = tuple(cut_face(mesh, face) for face in flat_faces(mesh, cells_of(mesh)))
    scores = np.array([head_score(mesh, cut, cylinders) for cut in cuts])
    picked = np.array([at_mm is None or _is_at(cut, np.array(at_mm)) for cut in cuts])
    best = int(np.argmax(np.where(picked, scores, 0.0)))
    if not picked[best] or scores[best] <= 0.0:
        where = "" if at_mm is None else " at the picked point"
        raise ScanError("scan", f"no flat face with alike openings and screw holes was found{where}", ACCEPTED)
    rivals = _rivals(cuts, scores, best, cylinders)
    first, *likes = [_head_face(cut_face(mesh, refitted(mesh, cuts[i].face)), cylinders) for i in (best, *rivals)]
    doubted = bool(likes) and at_mm is None and not _are_banks(len(first.ports), 1 + len(likes), cylinders)
    head = replace(first, likes=tuple(likes), sure=DOUBTED if doubted else 1.0)
    beside = [cut for cut in cuts if not any(_beside_head(cut.face, cuts[i].face) for i in (best, *rivals))]
    return head, _throttle_seat(mesh, beside)


def _is_at(cut: CutFace, point: Array) -> bool:
    """Whether a point lies on the face, near enough for one that a person picked."""
    face = cut.face
    inside = bool(((point > face.low_mm - PICKED_MM) & (point < face.high_mm + PICKED_MM)).all())
    return inside and abs(float((point - face.point_mm) @ face.normal)) < PICKED_MM


def _rivals(cuts: tuple[CutFace, ...], scores: Array, best: int, cylinders: int | None) -> list[int]:
    """Other faces with as many ports that score nearly as much, apart from each other, the likeliest first."""
    ports, found = len(port_rims(cuts[best], cylinders)), [best]
    for i in (int(k) for k in np.argsort(-scores) if scores[k] > RIVAL * scores[best]):
        alike = len(port_rims(cuts[i], cylinders)) == ports
        if alike and not any(_beside_head(cuts[i].face, cuts[k].face) for k in found):
            found.append(i)
    return found[1:]


def _are_banks(ports: int, faces: int, cylinders: int | None) -> bool:
    """Whether so many faces with so many ports each are an engine's two banks."""
    return faces == 2 and 2 * ports == cylinders


def _head_face(cut: CutFace, cylinders: int | None) -> HeadFace:
    chosen, screws = port_rims(cut, cylinders), measured_screws(cut)
    usual = float(np.median([screw.drill_mm for screw in screws])) if screws else 0.0
    slots, others, vague = list[Opening](), list[Opening](), list[Rim]()
    for rim in cut.rims:
        if rim.is_screw or any(rim is port for port in chosen):
            continue
        if rim.is_slot and (slot := measured_slot(cut, rim, usual)) is not None:
            slots.append(slot)
            continue
        found = measured_ports(cut, (rim,))
        others += found
        vague += [] if found else [rim]
    return HeadFace(
        cut=cut,
        ports=measured_ports(cut, chosen),
        screws=(*screws, *slots),
        others=tuple(others),
        vague=tuple(vague),
    )


def _throttle_seat(mesh: Mesh, cuts: Sequence[CutFace]) -> ThrottleSeat | None:
    """The face with one large bore and most holes evenly ringed about it."""
    found = [(ring_of(cut), cut) for cut in cuts]
    ring, best = max(
        found, key=lambda item: (item[0].is_centred, item[0].count, item[1].face.area_mm2), default=(None, None)
    )
    if ring is None or best is None or ring.count < 2:
        return None
    cut = cut_face(mesh, refitted(mesh, best.face))
    bores = measured_ports(cut, tuple(rim for rim in cut.rims if is_bore(rim)))
    if not bores:
        return None
    bore = max(bores, key=lambda opening: opening.size_mm)
    holes = tuple(hole for hole in measured_screws(cut) if is_in_ring(hole.at_mm - bore.at_mm, bore.size_mm / 2.0))
    return ThrottleSeat(cut=cut, bore=bore, holes=holes, sure=1.0 if ring.is_centred else DOUBTED)


def _beside_head(face: FlatFace, head: FlatFace) -> bool:
    """The head face itself and the back of its flange."""
    away = abs(float((face.point_mm - head.point_mm) @ head.normal))
    return abs(float(face.normal @ head.normal)) > 0.98 and away < 30.0
