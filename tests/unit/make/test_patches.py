"""What is left uncut is told by what it belongs to."""

from dataclasses import replace

import numpy as np
from plenum_pieces import Box, plenum_pieces

from tractwright.design.boss import Boss
from tractwright.design.records import Pocket
from tractwright.make.owners import OUTSIDE
from tractwright.make.patches import Left, patches, whose_of
from tractwright.make.samples import Samples


def samples(*points: tuple[float, float, float]) -> Samples:
    return Samples(
        points_mm=np.array(points, dtype=float), normals=np.tile([0.0, 0, 1], (len(points), 1)), area_mm2=10.0
    )


def test_bosses_and_pockets_are_named_and_the_rest_by_what_is_beside_it():
    design = plenum_pieces(Box())
    piece = next(item for item in design.pieces if item.kind == "plenum")
    flange = next(item for item in design.flanges if item.piece == piece.name)
    boss = Boss(
        name="nozzle", use="nozzle", runner="", plenum=design.plena[0].name, station=0.0, clock_deg=0.0, place="side_1",
        at_mm=(500.0, 0.0, 0.0), axis=(0.0, 0.0, 1.0), height_mm=20.0, foot_mm=20.0, top_mm=16.0, blend_mm=3.0, hole_mm=6.0,
        hole_depth_mm=30.0, thread="", thread_mm=0.0, pocket_mm=(), blind=False, swing_mm=20.0, reach_mm=40.0,
    )  # fmt: skip
    square = ((-5.0, -5.0, 0.0), (5.0, -5.0, 0.0), (5.0, 5.0, 0.0), (-5.0, 5.0, 0.0))
    pocket = Pocket(name="k1", flange=flange.name, contour=square, depth_mm=4.0)
    design = replace(design, bosses=(boss,), pockets=(pocket,))
    in_pocket = tuple(flange.frame.to_world((1.0, 2.0, flange.thickness_mm - 2.0)))
    points = samples((500, 8, 10), in_pocket, (900, 0, 0), (901, 0, 0))
    owners = np.array([OUTSIDE, OUTSIDE, OUTSIDE, "floor face finished"], dtype="<U80")
    found = list(whose_of(design, piece, points, owners))
    assert found == ["boss nozzle", "pocket k1", "the outside beside the floor face", "floor face finished"]


def test_patches_are_one_a_place_and_a_cause_the_largest_first_and_lie_on_the_surface():
    points = samples((0, 0, 0), (1, 0, 0), (0, 1, 0), (9, 9, 9), (50, 0, 0), (60, 0, 0))
    whose = np.array(["a", "a", "a", "b", "a", "c"], dtype="<U80")
    why = np.array(["deep"] * 4 + ["", "tight"], dtype="<U80")
    found = patches(Left(piece="head", samples=points, whose=whose, why=why))
    assert [(patch.what, patch.why, patch.area_mm2) for patch in found] == [("a", "deep", 30.0), ("b", "deep", 10.0)]
    assert found[0].at_mm in {(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)}
