"""Everything measured of a solid the user drew, step by step, each step told to whoever watches."""

import numpy as np

from tractwright.check.solid import SolidFacts
from tractwright.design.records import Design, Piece
from tractwright.job.shop_tables import Shop
from tractwright.make.own_reach import own_reach
from tractwright.make.records import Stock
from tractwright.make.stock import stock_of
from tractwright.own.radii import inner_radii, sharp_edges
from tractwright.own.records import OwnSolid
from tractwright.own.skins import passage_skin
from tractwright.own.walls import thin_walls
from tractwright.shape.records import BuiltPiece
from tractwright.standards.materials import material
from tractwright.watch import Watch

_STATIONS, _ANGLES = 65, 72


def solid_facts(solid: OwnSolid, alloy: str, shop: Shop, watch: Watch) -> SolidFacts:
    """Walls, radii, passages' skins, reach, stock. alloy : of `standards`, for mass. Raises TableError."""
    body = solid.body
    with watch(f"{solid.name}: walls"):
        walls = thin_walls(body)
    with watch(f"{solid.name}: passages"):
        skins = tuple(passage_skin(body, p, np.linspace(0.0, p.length_mm, _STATIONS), _ANGLES) for p in solid.passages)
    reaches = []
    for passage in solid.passages:
        with watch(f"{solid.name}: reach into {passage.name}"):
            reaches.append(own_reach(shop, solid, passage))
    return SolidFacts(
        solid=solid,
        walls=walls,
        radii=inner_radii(body, solid.holes),
        sharp_mm=sharp_edges(body),
        skins=skins,
        reaches=tuple(reaches),
        stock=_stock(solid, alloy, shop),
    )


def mass_kg(solid: OwnSolid, alloy: str) -> float:
    """Mass [kg] in an alloy. Raises TableError."""
    return solid.body.volume_mm3 * material(alloy).density_kg_mm3


def _stock(solid: OwnSolid, alloy: str, shop: Shop) -> Stock:
    body = solid.body
    piece = Piece(name=solid.name, kind="head", material=alloy)
    design = Design(
        name=solid.name, banks=(), ports=(), head_holes=(), runners=(), plena=(), throttles=(), pieces=(piece,),
        flanges=(), joints=(), screws=(), dowels=(), seals=(),
    )  # fmt: skip
    built = BuiltPiece(
        name=solid.name, kind="head", solid=None, mesh=body.mesh, valid=body.valid, watertight=body.watertight, solids=1,
        volume_mm3=body.volume_mm3, twin_volume_mm3=body.volume_mm3, mass_kg=mass_kg(solid, alloy), blends_wanted=0,
        blends_made=0, rung="", fallback="",
    )  # fmt: skip
    return stock_of(shop, design, built)
