"""How like a head face, or a throttle's, a flat face with openings is; which of its openings are ports."""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.geometry.meshes import Mesh
from tractwright.scan.planes import FlatFace
from tractwright.scan.rims import SCREW_MM, CutFace, Rim

ALIKE = 0.15
"""Openings whose sizes differ by less than this share are of one kind; judgement."""
LEAST_OF_ROW, UNEVEN = 0.6, 0.45
"""Ports of one row may be so much smaller than the largest, and stand so much closer than the widest apart; judgement."""
OFF_ROW_MM = 14.0
MOST_BEYOND = 0.35
"""A head face has no more than this share of the part on its outer side; judgement."""
RIVAL = 0.6
"""A face that scores at least this share of the best may be meant as well; judgement."""
RING_LIKE = 0.5
"""A single round opening in the middle of three screws or more is rather a throttle's: its score is cut to this; judgement."""
THROTTLE_MM = (25.0, 150.0)
RING_MM = (2.0, 40.0)
"""Holes of a throttle flange lie this far outside the bore's edge; judgement."""
CENTRED = 0.15
"""The holes' middle lies within this share of the bore's radius from its centre, or the ring is doubted; judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Ring:
    """Small holes round a face's only large bore: how many, and how far their middle is off the bore's [radii]."""

    count: int
    off: float

    @property
    def is_centred(self) -> bool:
        """Whether the holes lie evenly round the bore."""
        return self.count > 0 and self.off < CENTRED


def head_score(mesh: Mesh, cut: CutFace, cylinders: int | None) -> float:
    """Ports and screw holes that the face shows, less where the part stands out beyond the face; 0 for no head face."""
    ports = port_rims(cut, cylinders)
    screws, slots = sum(rim.is_screw for rim in cut.rims), sum(rim.is_slot for rim in cut.rims)
    beyond = _share_beyond(mesh, cut.face)
    if not ports or screws < 1 or screws + slots < 2 or beyond > MOST_BEYOND:
        return 0.0
    ring = ring_of(cut)
    single = RING_LIKE if len(ports) == 1 and ring.count > 2 and ring.is_centred else 1.0
    return single * (screws + slots + 2.0 * len(ports)) * (1.0 - 2.0 * beyond)


def _share_beyond(mesh: Mesh, face: FlatFace) -> float:
    every = mesh.vertices_mm[:: max(1, len(mesh.vertices_mm) // 40_000)]
    return float((((every - face.point_mm) @ face.normal) > 1.5).mean())


def port_rims(cut: CutFace, cylinders: int | None) -> tuple[Rim, ...]:
    """The largest set of large openings of one size; a set that suits the cylinders comes first, of one size or not."""
    large = [rim for rim in cut.rims if rim.size_mm > SCREW_MM]
    sets = [tuple(other for other in large if abs(other.size_mm - rim.size_mm) < ALIKE * rim.size_mm) for rim in large]
    alike = max(sets, key=lambda some: (len(some), some[0].size_mm), default=())
    if cylinders is None:
        return alike
    of = {len(some): some for some in sorted(sets, key=lambda some: some[0].size_mm)}
    row = _unlike_row(large, cylinders)
    return of.get(cylinders) or row or of.get(2 * cylinders) or of.get((cylinders + 1) // 2) or alike


def _unlike_row(large: list[Rim], count: int) -> tuple[Rim, ...]:
    """The largest openings, so many and no more of their size, where they stand in one row though unlike; else none."""
    ordered = sorted(large, key=lambda rim: -rim.size_mm)
    chosen, rest = ordered[:count], ordered[count:]
    goes_on = bool(rest) and rest[0].size_mm > (1.0 - ALIKE) * chosen[-1].size_mm
    return tuple(chosen) if len(chosen) == count and not goes_on and _is_row(chosen) else ()


def _is_row(rims: list[Rim]) -> bool:
    """Whether openings of unlike size stand in one row, none far smaller than the largest, none far off the pitch."""
    if len(rims) < 2 or rims[-1].size_mm < LEAST_OF_ROW * rims[0].size_mm:
        return False
    middles = np.array([(rim.points_mm.max(axis=0) + rim.points_mm.min(axis=0)) / 2.0 for rim in rims])
    away = middles - middles.mean(axis=0)
    axes = np.linalg.svd(away)[2]
    steps = np.diff(np.sort(away @ axes[0]))
    return bool(np.abs(away @ axes[1]).max() < OFF_ROW_MM and steps.min() > UNEVEN * steps.max())


def is_bore(rim: Rim) -> bool:
    """Round, and of a throttle's size."""
    return rim.is_circle and THROTTLE_MM[0] < rim.size_mm < THROTTLE_MM[1]


def ring_of(cut: CutFace) -> Ring:
    """The holes round the face's only large bore; none where there is no such bore, or several alike."""
    nothing = Ring(count=0, off=np.inf)
    bores = [rim for rim in cut.rims if is_bore(rim)]
    if not bores:
        return nothing
    bore = max(bores, key=lambda rim: rim.size_mm)
    if sum(rim.size_mm > 0.8 * bore.size_mm for rim in bores) > 1:
        return nothing
    ways = (rim.circle.centre_mm - bore.circle.centre_mm for rim in cut.rims if rim.is_screw)
    around = np.array([way for way in ways if is_in_ring(way, bore.circle.radius_mm)]).reshape(-1, 2)
    if len(around) == 0:
        return nothing
    return Ring(count=len(around), off=float(np.linalg.norm(around.mean(axis=0))) / bore.circle.radius_mm)


def is_in_ring(away: Array, radius: float) -> bool:
    """Whether a hole so far from a bore's middle is one of its flange's."""
    return bool(RING_MM[0] < np.linalg.norm(away) - radius < RING_MM[1])
