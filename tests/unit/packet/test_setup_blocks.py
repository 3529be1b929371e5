"""Blocks at each set-up and their fixtures, against plain volumes and against the pieces themselves on meshes."""

import csv
import io
from pathlib import Path

from manifold3d import Manifold

from tractwright.design.records import Design
from tractwright.geometry.frames import Frame
from tractwright.kernel.checked import checked, cut
from tractwright.kernel.measure import volume
from tractwright.kernel.mesh import mesh_body, tessellate
from tractwright.kernel.primitives import extrude
from tractwright.kernel.step import read_step
from tractwright.kernel.twins import joined
from tractwright.make.features import faces_of
from tractwright.packet.blocks.features import cutters_of, passage_cutters, throttle_bores
from tractwright.packet.blocks.stock import block_frame, block_outline
from tractwright.packet.blocks.swept import ALLOWANCE_MM, swept_off
from tractwright.packet.contents import Contents
from tractwright.packet.exports import setup_blocks


def _rectangle(width: float, height: float):
    w, h = width / 2.0, height / 2.0
    return ((w, -h, 0.0), (w, h, 0.0), (-w, h, 0.0), (-w, -h, 0.0))


def test_what_is_swept_off_round_a_stepped_part():
    """A block 60 x 60 on one of 100 x 80: the block of 120 x 100 x 50 keeps both with the allowance round them, its corners
    rounded by it, and its lowest 10 mm whole (boxes and quarter circles); the step is found within a slice.
    """
    part = checked(extrude(_rectangle(100, 80), Frame(), 25.0)).twin
    part = part + checked(extrude(_rectangle(60, 60), Frame(), 50.0)).twin
    block = checked(extrude(_rectangle(120, 100), Frame(), 50.0))
    tools = swept_off(part, (Frame(), (120.0, 100.0, 50.0)), (0.0, 0.0, 1.0), 10.0, 2)
    left = volume(cut(block, tools, "sweeping").solid)
    rounded = (4.0 - 3.14159) * ALLOWANCE_MM**2
    low, high = (w * h - rounded for w, h in ((102.0, 82.0), (62.0, 62.0)))
    exact, slice_mm = 120 * 100 * 10 + low * 15 + high * 25, 40.0 / 24
    assert exact * (1 - 1e-3) < left < exact + (low - high) * slice_mm


def _hollows(design: Design, name: str) -> list[Manifold]:
    """Everything hollow that a set-up may cut: the stand-ins are plates without any of it."""
    piece = next(item for item in design.pieces if item.name == name)
    named = cutters_of(design, piece, faces_of(design, piece)).values()
    tools = [tool for cutters in named for tool in cutters()]
    return [tool.twin for tool in (*tools, *throttle_bores(design), *passage_cutters(design))]


def test_blocks_hold_their_pieces_and_shrink_towards_them(whole: Contents, tmp_path: Path):
    """Each within its stock, no larger than the one before, all of the piece in it but what is hollow; no fixture reaches
    into a piece. The pieces are stand-ins: where a face of them is missing, so is its fixture, and that is told.
    """
    made = setup_blocks.write(whole)
    rows = list(csv.DictReader(io.StringIO(made["hand_off/setups.csv"].decode())))
    case = whole.case
    assert [row["setup"] for row in rows] == [setup.name for setup in case.plan.setups]
    assert not any(part for row in rows for part in row["left_on_it"].split("; ") if not part.startswith("its fixture"))
    path = tmp_path / "setups.step"
    path.write_bytes(made["hand_off/setups.step"])
    blocks = [row for row in rows if row["block"].startswith("block at")]
    fixtures = [row for row in rows if row["fixture"]]
    solids = read_step(path)
    assert len(solids) == len(blocks) + len(fixtures)
    pieces = {piece.name: mesh_body(*piece.mesh) for piece in case.pieces}
    before: dict[str, float] = {}
    for row, solid in zip(blocks, solids, strict=False):
        stock = next(stock for stock in case.plan.stocks if stock.piece == row["piece"])
        most = before.get(row["piece"], float(stock.size_mm[0] * stock.size_mm[1] * stock.size_mm[2]))
        piece = pieces[row["piece"]]
        assert 0.5 * piece.volume() < volume(solid) <= most * (1 + 1e-9)
        allowed = (joined(_hollows(case.design, row["piece"])) ^ piece).volume() + 0.01 * piece.volume()
        assert (piece - mesh_body(*tessellate(solid))).volume() < allowed
        before[row["piece"]] = volume(solid)
    for row, solid in zip(fixtures, solids[len(blocks) :], strict=True):
        assert (mesh_body(*tessellate(solid)) ^ pieces[row["piece"]]).volume() < 1.0


def test_the_sawn_block_lies_round_its_piece(whole: Contents):
    case = whole.case
    for stock, piece in zip(case.plan.stocks, case.pieces, strict=True):
        block = extrude(block_outline(stock), block_frame(stock, piece.mesh[0]), stock.size_mm[2])
        assert (mesh_body(*piece.mesh) - mesh_body(*tessellate(block))).volume() < 1e-3
