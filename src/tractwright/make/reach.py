"""Reach of cutters into the passages of a built piece, from both ends, beside the piece's whole surface."""

from tractwright.design.passing import part_between
from tractwright.design.records import Design
from tractwright.design.tube import Tube, centreline
from tractwright.geometry.frames import Array
from tractwright.job.shop_tables import Shop
from tractwright.make.samples import surface_points
from tractwright.reach import passage
from tractwright.reach.passage import Bore, passage_reach_parted
from tractwright.reach.records import PassageReach
from tractwright.shape.records import BuiltPiece, Mesh

_SURFACE_POINTS = 10000


def passage_reaches(shop: Shop, design: Design, piece: BuiltPiece) -> tuple[PassageReach, ...]:
    """Every passage that runs from one flange of a piece to another."""
    flanges = [flange for flange in design.flanges if flange.piece == piece.name]
    around = surface_points(piece.mesh, _SURFACE_POINTS)
    found: list[PassageReach] = []
    for runner in design.runners:
        part = part_between(centreline(runner, design), flanges)
        if part is not None:
            bore = Bore(piece=piece.name, from_mm=part.first.station_mm, to_mm=part.last.station_mm, around=around)
            found.append(passage_reach_parted(shop, design, runner, bore))
    return tuple(found)


def reach_through(shop: Shop, names: tuple[str, str], model: Tube, skin: Array, mesh: Mesh) -> PassageReach:
    """Reach into one passage of a closed mesh. names : of piece and passage; model : the passage at its stations, from the
    port; skin (n, 3) : points spread over the whole of its wall.
    """
    return passage.reach_through(shop, names, model, skin, surface_points(mesh, _SURFACE_POINTS))
