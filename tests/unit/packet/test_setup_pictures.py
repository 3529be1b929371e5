"""Blocks at each set-up by cells: nothing comes back or is lost, faces that are cut are bare; cells as they are drawn."""

from itertools import pairwise

import numpy as np
import pytest

from tractwright.geometry.cells import grid_over
from tractwright.geometry.frames import unit
from tractwright.make.feature import faces_of
from tractwright.packet.contents import Contents
from tractwright.packet.picture.scene import Body, CellBody, View, corner_normals, draw
from tractwright.packet.picture.states import cell_states

BOX = np.array(
    [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1), (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4),
     (1, 5, 7), (1, 7, 3)], dtype=np.int32,
)  # fmt: skip


@pytest.fixture(scope="module")
def told(whole: Contents):
    """Each piece with its record, its set-ups and their states."""
    plan, design = whole.case.plan, whole.case.design
    found = []
    for built, stock in zip(whole.case.pieces, plan.stocks, strict=True):
        setups = tuple(setup for setup in plan.setups if setup.piece == built.name)
        found.append((built, stock, setups, tuple(cell_states(design, built, stock, setups))))
    return found


def test_a_piece_starts_as_its_block_and_loses_only_what_its_setups_cut(told):
    for built, stock, _, states in told:
        cell = np.prod(states[0].grid.step_mm)
        first = states[0]
        block = (first.stays | first.goes | first.body).sum() * cell
        assert block == pytest.approx(np.prod(stock.size_mm), rel=1e-9)
        assert first.body.sum() * cell == pytest.approx(built.volume_mm3, rel=0.06)
        for before, after in pairwise(states):
            np.testing.assert_array_equal(before.stays, after.stays | after.goes)
        assert not any((state.body & (state.stays | state.goes)).any() for state in states)


def test_no_block_stands_over_a_face_that_has_been_cut(told, whole: Contents):
    """But what the plate's or the jaws' own level keeps from being cut stays: none over the face's own middle."""
    for built, _, setups, states in told:
        piece = next(item for item in whole.case.design.pieces if item.name == built.name)
        for face in faces_of(whole.case.design, piece):
            made = [k for k, setup in enumerate(setups) if f"{face.name} roughed" in setup.makes]
            for state in states[made[0] :] if made else ():
                grid = state.grid
                at = grid.cells_at((np.array(face.at_mm) + 1.2 * max(grid.step_mm) * np.array(face.out))[None])[0]
                assert not (at >= 0).all() or not (at < grid.shape).all() or not state.stays[tuple(at)]


def test_a_box_of_cells_is_drawn_as_the_box_it_is():
    """The same box as a mesh and as cells, both plane-faced: the pictures differ in no more than the ink of an edge."""
    axes = np.stack([unit((1.0, 0.2, 0.1)), unit(np.cross((0.1, 0.3, 1.0), (1.0, 0.2, 0.1))), np.zeros(3)])
    axes[2] = np.cross(axes[0], axes[1])
    grid = grid_over(axes, np.array([3.0, -2.0, 5.0]), (60.0, 40.0, 20.0), 5000)
    vertices = grid.corners_mm()
    colour = (0.8, 0.7, 0.6)
    mesh = Body(vertices_mm=vertices, faces=BOX, normals=corner_normals(vertices, BOX), colour=colour)
    full = np.ones(grid.shape, dtype=bool)
    cells = CellBody(grid=grid, shown=full, metal=full, colour=colour)
    view = View(towards_eye=(-0.75, 0.85, 0.95), up=(0.0, 1.0, 0.0), width=160, height=120)
    one, other = draw((mesh,), view), draw((cells,), view)
    assert (np.abs(one - other).max(axis=2) > 0.02).mean() < 0.002
