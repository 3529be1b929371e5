"""Surface that is left uncut, named by what it belongs to: pocket, boss, a runner's skin, a chamber, or what it lies beside."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from scipy.spatial import KDTree

from tractwright.design.boss_space import carrier
from tractwright.design.records import Design, Piece
from tractwright.design.tube import tube
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, vec3
from tractwright.make.owners import OUTSIDE
from tractwright.make.records import Unreached
from tractwright.make.samples import Samples

Mask = npt.NDArray[np.bool_]
Names = npt.NDArray[np.str_]
_SKIN_MM, _BESIDE_MM = 3.0, 1.0
_FEW = 3


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Left:
    """What is left of a piece: its name, the samples of its surface, whose each is (n,), and why each is left (n,), '' where
    it is not.
    """

    piece: str
    samples: Samples
    whose: Names
    why: Names


def patches(left: Left) -> tuple[Unreached, ...]:
    """One a place and a cause, the largest first; causes with a sample or two are left out."""
    causes = [cause for cause in np.unique(left.why) if cause and (left.why == cause).sum() >= _FEW]
    found = [
        _patch(left, str(name), (left.whose == name) & (left.why == cause), str(cause))
        for cause in causes
        for name in np.unique(left.whose[left.why == cause])
    ]
    return tuple(sorted(found, key=lambda patch: -patch.area_mm2))


def _patch(left: Left, name: str, mask: Mask, why: str) -> Unreached:
    points = left.samples.points_mm[mask]
    middle = points[int(np.argmin(np.linalg.norm(points - points.mean(axis=0), axis=1)))]
    area = float(mask.sum()) * left.samples.area_mm2
    return Unreached(piece=left.piece, what=name, area_mm2=area, at_mm=vec3(middle), why=why)


def whose_of(design: Design, piece: Piece, samples: Samples, owners: Names) -> Names:
    """What each sample (n,) belongs to; owners : as known, the outside's are looked at more closely."""
    names = owners.copy().astype("<U80")
    for mask, name in _of_outside(design, piece, samples):
        names[mask & (names == OUTSIDE)] = name
    bare, known = names == OUTSIDE, owners != OUTSIDE
    if bare.any() and known.any():
        _, nearest = KDTree(samples.points_mm[known]).query(samples.points_mm[bare])
        names[bare] = np.char.add("the outside beside the ", _plain(owners[known][nearest]))
    names[names == OUTSIDE] = "the outside"
    return names


def _plain(owners: Names) -> Names:
    """Owners' names without what was done to them."""
    return np.char.replace(np.char.replace(owners, " finished", ""), " with lips", "")


def in_pockets(design: Design, piece: Piece, samples: Samples) -> Iterator[tuple[Mask, str]]:
    """Which samples (n,) lie in each of a piece's pockets."""
    for pocket in design.pockets:
        flange = next(item for item in design.flanges if item.name == pocket.flange)
        if flange.piece == piece.name:
            local = flange.frame.to_local(samples.points_mm)
            deep = (local[:, 2] > flange.thickness_mm - pocket.depth_mm - _BESIDE_MM) & (
                local[:, 2] < flange.thickness_mm
            )
            within = shapely.contains_xy(shapely.Polygon(polyline(pocket.contour)), local[:, 0], local[:, 1])
            yield deep & within, f"pocket {pocket.name}"


def _of_outside(design: Design, piece: Piece, samples: Samples) -> Iterator[tuple[Mask, str]]:
    yield from in_pockets(design, piece, samples)
    for boss in design.bosses:
        if carrier(boss, design) == piece.name:
            away: Array = samples.points_mm - np.array(boss.at_mm)
            high = away @ np.array(boss.axis)
            off = np.linalg.norm(away - high[:, None] * np.array(boss.axis), axis=1)
            body = (
                (off < boss.foot_mm / 2 + boss.blend_mm)
                & (high > -boss.blend_mm)
                & (high < boss.height_mm + _BESIDE_MM)
            )
            yield body, f"boss {boss.name}"
    for runner in design.runners if piece.kind in ("head", "middle") else ():
        off, _ = KDTree(tube(runner, design).outer_mm.reshape(-1, 3)).query(samples.points_mm)
        yield off < _SKIN_MM, f"the skin of {runner.name}"
