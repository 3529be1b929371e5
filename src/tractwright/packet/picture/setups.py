"""Pictures of each set-up: the block as it lies in the machine at its start, and in another tone what is cut of it."""

from dataclasses import replace

import numpy as np

from tractwright.design.records import Design
from tractwright.geometry.frames import Array, Vec3, unit, vec3
from tractwright.geometry.meshes import Mesh, coarse
from tractwright.make.feature import Face, faces_of
from tractwright.make.records import MakingPlan, Setup
from tractwright.packet.picture.holders import holders, zero_mark
from tractwright.packet.picture.pngs import Scene, pngs
from tractwright.packet.picture.scene import Body, CellBody, Drawn, View, corner_normals
from tractwright.packet.picture.states import CellState, cell_states
from tractwright.shape.records import BuiltPiece

_PIECE, _BLOCK, _CUT = (0.80, 0.81, 0.83), (0.60, 0.67, 0.71), (0.86, 0.62, 0.45)
_SIZE = (560, 400)
_CELL_MM = 1.5
_VEIL = 0.45
_ON_MM, _LOOKS = 1.0, 0.9


def setup_pictures(
    design: Design, pieces: tuple[BuiltPiece, ...], plan: MakingPlan, riser_mm: float
) -> dict[int, bytes]:
    """PNG by the set-up's number, from 1; the way up in the machine is up in the picture."""
    stocks = {stock.piece: stock for stock in plan.stocks}
    found: dict[int, Scene] = {}
    for built in (piece for piece in pieces if len(piece.mesh[1])):
        mine = [(number, setup) for number, setup in enumerate(plan.setups, start=1) if setup.piece == built.name]
        if not mine:
            continue
        piece = next(item for item in design.pieces if item.name == built.name)
        part = _part(built)
        states = cell_states(design, built, stocks[built.name], tuple(setup for _, setup in mine))
        for (number, setup), state in zip(mine, states, strict=True):
            held = holders(design, piece, setup, _standing(part, state), riser_mm)
            cut = frozenset(setup.makes)
            faces = tuple(face for face in faces_of(design, piece) if f"{face.name} finished" in cut)
            found[number] = _scene(_in_tones(part, faces), state, setup, held)
    return pngs(found)


def _part(built: BuiltPiece) -> Body:
    mesh = coarse(Mesh(vertices_mm=built.mesh[0], faces=built.mesh[1]), _CELL_MM)
    normals = corner_normals(mesh.vertices_mm, mesh.faces)
    return Body(vertices_mm=mesh.vertices_mm, faces=mesh.faces, normals=normals, colour=_PIECE)


def _standing(part: Body, state: CellState) -> Array:
    """Points (n, 3) that the work lies between: the piece's, and of the cells that stand round it."""
    cells = np.argwhere(state.stays | state.goes)
    thin = cells[:: max(1, len(cells) // 20_000)]
    ends = np.concatenate([cells.min(axis=0, keepdims=True), cells.max(axis=0, keepdims=True)]) if len(cells) else thin
    grid = state.grid
    places = (grid.low_mm + (np.concatenate([thin, ends]) + 0.5) * np.array(grid.step_mm)) @ grid.axes
    return np.concatenate([part.vertices_mm, places])


def _in_tones(part: Body, faces: tuple[Face, ...]) -> tuple[Body, ...]:
    """The piece, those of its joint faces that are finished now in the tone of what is cut."""
    cut = np.zeros(len(part.faces), dtype=bool)
    corners = part.vertices_mm[part.faces]
    across = unit(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]) + 1e-12)
    for face in faces:
        near = np.abs((corners - np.array(face.at_mm)) @ np.array(face.out)) < _ON_MM
        cut |= near.all(axis=1) & (across @ np.array(face.out) > _LOOKS)
    parts = ((~cut, part.colour), (cut, _CUT))
    return tuple(
        replace(part, faces=part.faces[keep], normals=part.normals[keep], colour=colour)
        for keep, colour in parts
        if keep.any()
    )


def _scene(parts: tuple[Body, ...], state: CellState, setup: Setup, held: tuple[Body, ...]) -> Scene:
    metal = state.body | state.stays
    stays = CellBody(grid=state.grid, shown=state.stays, metal=metal, colour=_BLOCK)
    goes = CellBody(grid=state.grid, shown=state.goes, metal=metal | state.goes, colour=_CUT, solidity=_VEIL)
    long = float(np.linalg.norm(np.array(state.grid.shape) * np.array(state.grid.step_mm)))
    bodies: tuple[Drawn, ...] = (*parts, stays, goes, *held, *zero_mark(setup, long / 12.0))
    up = np.array(setup.floor)
    return bodies, View(towards_eye=_eye(up), up=vec3(up), width=_SIZE[0], height=_SIZE[1])


def _eye(up: Array) -> Vec3:
    side = unit(np.cross(up, [1.0, 0.0, 0.0] if abs(up[0]) < 0.9 else [0.0, 0.0, 1.0]))
    return vec3(0.55 * up + 0.9 * side + 0.5 * np.cross(side, up))
