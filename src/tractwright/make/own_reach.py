"""Reach into the passages of a solid the user drew."""

import numpy as np

from tractwright.design.tube import Tube
from tractwright.job.shop_tables import Shop
from tractwright.make.reach import reach_through
from tractwright.make.records import PassageReach
from tractwright.own.records import OwnSolid, Passage
from tractwright.own.skins import PassageSkin, passage_skin

_STATION_MM = 3.0
_CLOCKS = 24
_WALL_MM, _WALL_CLOCKS = 2.5, 72


def own_reach(shop: Shop, solid: OwnSolid, passage: Passage) -> PassageReach:
    """Reach from both ends of a passage: 'port' stands for its first end, 'mouth' for its last."""
    length = passage.length_mm
    stations = np.linspace(0.5, length - 0.5, max(12, int(length / _STATION_MM)))
    skin = passage_skin(solid.body, passage, stations, _CLOCKS)
    wall = passage_skin(solid.body, passage, np.linspace(0.0, length, max(40, int(length / _WALL_MM))), _WALL_CLOCKS)
    points = np.ascontiguousarray(wall.points_mm.reshape(-1, 3))
    return reach_through(shop, (solid.name, passage.name), _tube(skin, passage), points, solid.body.mesh)


def _tube(skin: PassageSkin, passage: Passage) -> Tube:
    """The passage as the fast model tells a runner; its wall is not known this way and stands as 0."""
    nothing = np.zeros(len(skin.s_mm))
    return Tube(
        s_mm=skin.s_mm,
        centre_mm=skin.centre_mm,
        tangent=skin.tangent,
        u=skin.u,
        v=skin.v,
        area_mm2=np.interp(skin.s_mm, passage.s_mm, passage.area_mm2),
        wall_mm=nothing,
        curvature_per_mm=np.interp(skin.s_mm, passage.s_mm, 1.0 / passage.radius_mm),
        half_mm=np.linalg.norm(skin.points_mm - skin.centre_mm[:, None, :], axis=2).max(axis=1),
        inner_mm=skin.points_mm,
        outer_mm=skin.points_mm,
    )
