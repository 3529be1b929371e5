"""Which flat face bolts to the head, and which one carried the throttle body."""

from dataclasses import dataclass

import numpy as np

from tractwright.errors import ScanError
from tractwright.geometry.frames import Array
from tractwright.geometry.meshes import Mesh
from tractwright.scan.openings import Opening, measured_ports, measured_screws
from tractwright.scan.planes import FlatFace, cells_of, flat_faces, refitted
from tractwright.scan.rims import SCREW_MM, CutFace, Rim, cut_face

ALIKE = 0.15
"""Openings whose sizes differ by less than this share are of one kind; judgement."""
BANK_LIKE = 0.6
"""Another bank's face scores at least this share of the first one's; judgement."""
MOST_BEYOND = 0.35
"""A head face has no more than this share of the part on its outer side; judgement."""
THROTTLE_MM = (25.0, 150.0)
RING_MM = (2.0, 40.0)
"""Holes of a throttle flange lie this far outside the bore's edge; judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class HeadFace:
    """The face that bolts to the head: its ports, its small round holes, and larger openings that are no ports."""

    cut: CutFace
    ports: tuple[Opening, ...]
    screws: tuple[Opening, ...]
    others: tuple[Opening, ...]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class ThrottleSeat:
    """The face the throttle body sat on: one large bore with a ring of holes."""

    cut: CutFace
    bore: Opening
    holes: tuple[Opening, ...]


def find_faces(mesh: Mesh, cylinders: int | None) -> tuple[HeadFace, ThrottleSeat | None]:
    """The head face, and the throttle's if the scan shows one.

    cylinders : of the engine, if known: that many openings are ports, or twice or half as many.
    Raises ScanError where no face has openings in a row and screw holes.
    """
    cuts = tuple(cut_face(mesh, face) for face in flat_faces(mesh, cells_of(mesh)))
    scores = [_head_score(mesh, cut, cylinders) for cut in cuts]
    best = int(np.argmax(scores))
    if scores[best] <= 0.0:
        raise ScanError(
            "scan",
            "no flat face with alike openings and screw holes was found",
            "a scan that shows the head flange's face",
        )
    head = cut_face(mesh, refitted(mesh, cuts[best].face))
    return _head_face(head, cylinders), _throttle_seat(mesh, cuts, cuts[best].face)


def find_heads(mesh: Mesh, cylinders: int | None) -> tuple[HeadFace, ...]:
    """Every face that looks like a head face, the likeliest first: one a bank of a vee or a flat engine.

    cylinders : of one bank, if known. Raises ScanError where there is none.
    """
    cuts = tuple(cut_face(mesh, face) for face in flat_faces(mesh, cells_of(mesh)))
    scores = np.array([_head_score(mesh, cut, cylinders) for cut in cuts])
    order = [int(i) for i in np.argsort(-scores) if scores[i] > 0.0]
    if not order:
        raise ScanError("scan", "no flat face with alike openings and screw holes was found", "a scan that shows it")
    ports = len(_port_rims(cuts[order[0]], cylinders))
    like = [
        i for i in order if scores[i] > BANK_LIKE * scores[order[0]] and len(_port_rims(cuts[i], cylinders)) == ports
    ]
    apart = [i for n, i in enumerate(like) if not any(_beside_head(cuts[i].face, cuts[k].face) for k in like[:n])]
    return tuple(_head_face(cut_face(mesh, refitted(mesh, cuts[i].face)), cylinders) for i in apart)


def _head_score(mesh: Mesh, cut: CutFace, cylinders: int | None) -> float:
    """Ports and screw holes that the face shows, less where the part stands out beyond the face."""
    ports = _port_rims(cut, cylinders)
    screws = sum(rim.is_screw for rim in cut.rims)
    beyond = _share_beyond(mesh, cut.face)
    if not ports or screws < 2 or beyond > MOST_BEYOND:
        return 0.0
    return (screws + 2.0 * len(ports)) * (1.0 - 2.0 * beyond)


def _share_beyond(mesh: Mesh, face: FlatFace) -> float:
    every = mesh.vertices_mm[:: max(1, len(mesh.vertices_mm) // 40_000)]
    return float((((every - face.point_mm) @ face.normal) > 1.5).mean())


def _port_rims(cut: CutFace, cylinders: int | None) -> tuple[Rim, ...]:
    """The largest set of large openings of one size; sets that suit the cylinders come first."""
    large = [rim for rim in cut.rims if rim.size_mm > SCREW_MM]
    sets = [tuple(other for other in large if abs(other.size_mm - rim.size_mm) < ALIKE * rim.size_mm) for rim in large]
    wanted = {cylinders, 2 * cylinders, (cylinders + 1) // 2} if cylinders else set[int]()
    return max(sets, key=lambda some: (len(some) in wanted, len(some), some[0].size_mm), default=())


def _head_face(cut: CutFace, cylinders: int | None) -> HeadFace:
    chosen = _port_rims(cut, cylinders)
    rest = tuple(rim for rim in cut.rims if not rim.is_screw and not any(rim is port for port in chosen))
    return HeadFace(
        cut=cut,
        ports=measured_ports(cut, chosen),
        screws=measured_screws(cut),
        others=measured_ports(cut, rest),
    )


def _throttle_seat(mesh: Mesh, cuts: tuple[CutFace, ...], head: FlatFace) -> ThrottleSeat | None:
    """The face with one large bore and most holes ringed about it, not parallel to the head face and near it."""
    found = [(_ring_of(cut), cut) for cut in cuts if not _beside_head(cut.face, head)]
    count, best = max(found, key=lambda item: (item[0], item[1].face.area_mm2), default=(0, None))
    if best is None or count < 2:
        return None
    cut = cut_face(mesh, refitted(mesh, best.face))
    bores = measured_ports(cut, tuple(rim for rim in cut.rims if _is_bore(rim)))
    if not bores:
        return None
    bore = max(bores, key=lambda opening: opening.size_mm)
    holes = tuple(hole for hole in measured_screws(cut) if _in_ring(hole.at_mm - bore.at_mm, bore.size_mm / 2.0))
    return ThrottleSeat(cut=cut, bore=bore, holes=holes)


def _beside_head(face: FlatFace, head: FlatFace) -> bool:
    """The head face itself and the back of its flange."""
    away = abs(float((face.point_mm - head.point_mm) @ head.normal))
    return abs(float(face.normal @ head.normal)) > 0.98 and away < 30.0


def _is_bore(rim: Rim) -> bool:
    return rim.is_circle and THROTTLE_MM[0] < rim.size_mm < THROTTLE_MM[1]


def _ring_of(cut: CutFace) -> int:
    """How many small holes ring the face's only large bore; 0 where there is none or several alike."""
    bores = [rim for rim in cut.rims if _is_bore(rim)]
    if not bores:
        return 0
    bore = max(bores, key=lambda rim: rim.size_mm)
    if sum(rim.size_mm > 0.8 * bore.size_mm for rim in bores) > 1:
        return 0
    screws = (rim.circle.centre_mm - bore.circle.centre_mm for rim in cut.rims if rim.is_screw)
    return sum(_in_ring(away, bore.circle.radius_mm) for away in screws)


def _in_ring(away: Array, radius: float) -> bool:
    return bool(RING_MM[0] < np.linalg.norm(away) - radius < RING_MM[1])
