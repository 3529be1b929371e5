"""Blocks at each set-up and their fixtures, against plain volumes and against the pieces themselves on meshes."""

from tractwright.geometry.frames import Frame
from tractwright.kernel.checked import checked, cut
from tractwright.kernel.measure import volume
from tractwright.kernel.mesh import mesh_body, tessellate
from tractwright.kernel.primitives import extrude
from tractwright.packet.blocks.stock import block_frame, block_outline
from tractwright.packet.blocks.swept import ALLOWANCE_MM, swept_off
from tractwright.packet.contents import Contents


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


def test_the_sawn_block_lies_round_its_piece(whole: Contents):
    case = whole.case
    for stock, piece in zip(case.plan.stocks, case.pieces, strict=True):
        block = extrude(block_outline(stock), block_frame(stock, piece.mesh[0]), stock.size_mm[2])
        assert (mesh_body(*piece.mesh) - mesh_body(*tessellate(block))).volume() < 1e-3
