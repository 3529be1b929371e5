"""A flat wall held at its foot and along both ends, free along its top: how far a push on the top gives, and how it rings.

A plenum's wall while it is milled, before the cover is on. No formula of handbooks fits it: finite elements, in rows and
columns, one layer through the wall.
"""

from dataclasses import dataclass

import numpy as np

from tractwright.standards.materials import Material
from tractwright.strength.finite.block import block
from tractwright.strength.finite.elastic import held, moved_mm, of_metal, pulled_n, rings_hz, system

_ALONG, _UP = 24, 12


@dataclass(frozen=True, slots=True, kw_only=True)
class SideHeld:
    """give_mm_n : of the middle of the free edge under a push there [mm/N]; frequency_hz : the lowest."""

    give_mm_n: float
    frequency_hz: float


def side_held(long_mm: float, high_mm: float, thick_mm: float, metal: Material) -> SideHeld:
    """A wall of those clear sizes. The push is spread over a stretch of the top as long as the wall is thick, twice."""
    along = long_mm * np.linspace(-0.5, 0.5, _ALONG + 1)
    body = block((along, np.array([0.0, thick_mm]), np.linspace(0.0, high_mm, _UP + 1)), lambda grid: grid)
    x, _, z = body.points_mm.T
    foot = (z < 1e-9) | (np.abs(x) > long_mm / 2.0 - 1e-9)
    bound = held(system(body, *of_metal(body, metal), np.repeat(foot[:, None], 3, axis=1)))
    skin = body.skin
    near = np.maximum(thick_mm, long_mm / _ALONG)
    pushed = skin.part((skin.normals[:, 2] > 0.9) & (np.abs(skin.middles_mm[:, 0]) < near))
    pull = np.array([0.0, 1.0 / pushed.area_mm2.sum(), 0.0])
    moved = moved_mm(bound, pulled_n(pushed, len(body.points_mm), pull))
    top = (z > high_mm - 1e-9) & (np.abs(x) < 1e-9)
    return SideHeld(give_mm_n=float(moved[top, 1].mean()), frequency_hz=float(rings_hz(bound, 1)[0][0]))
