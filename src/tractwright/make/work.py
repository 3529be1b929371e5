"""A piece as it is held: its block, faces, flanges and features, and where its middles lie."""

from dataclasses import dataclass

import numpy as np

from tractwright.design.records import Flange, Piece
from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.make.feature import Face, Feature
from tractwright.make.records import Stock

_LEVEL = 0.3


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Work:
    """A piece with its block, its joint faces, flanges, features but the outside, and points (n, 3) of its surface."""

    piece: Piece
    stock: Stock
    faces: tuple[Face, ...]
    flanges: tuple[Flange, ...]
    features: tuple[Feature, ...]
    points_mm: Array

    def wide_mm(self, up: Vec3) -> tuple[float, float]:
        """Its extents across a way up [mm]."""
        across = [axis for axis in self.stock.axes if abs(float(np.dot(axis, up))) < _LEVEL]
        seen = [float(np.ptp(self.points_mm @ np.array(axis))) for axis in across]
        least = min(self.stock.size_mm)
        return (seen[0], seen[1]) if len(seen) == 2 else (least, least)

    def narrow_way(self, up: Vec3) -> Vec3:
        """The way of its block across a way up along which it is narrowest."""
        level = [axis for axis in self.stock.axes if abs(float(np.dot(axis, up))) < _LEVEL]
        return min(level or self.stock.axes, key=lambda axis: float(np.ptp(self.points_mm @ np.array(axis))))

    def foot_mm(self, up: Vec3) -> Vec3:
        """The middle of its outline across a way up, at its lowest [job frame]."""
        return self._over_middle(up, float((self.points_mm @ np.array(up)).min()))

    def top_of_block_mm(self, up: Vec3) -> Vec3:
        """The middle of its block across a way up, at its highest [job frame]."""
        corners = np.array(self.stock.corners_mm()) + self._middle()
        return self._over_middle(up, float((corners @ np.array(up)).max()))

    def _over_middle(self, up: Vec3, high_mm: float) -> Vec3:
        middle = self._middle()
        return vec3(middle + (high_mm - middle @ np.array(up)) * np.array(up))

    def _middle(self) -> Array:
        """Of its block [job frame]."""
        axes = np.array(self.stock.axes)
        seen = self.points_mm @ axes.T
        return (seen.min(axis=0) + seen.max(axis=0)) / 2.0 @ axes
