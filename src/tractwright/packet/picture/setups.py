"""A picture of the work at each set-up: the piece in the veil of its block while that is there, on its plate or in its jaws."""

import io

import matplotlib.image
import numpy as np

from tractwright.geometry.frames import Array, unit
from tractwright.geometry.meshes import Mesh, coarse
from tractwright.make.records import MakingPlan, Setup, Stock
from tractwright.packet.picture.scene import Body, View, corner_normals, draw
from tractwright.shape.records import BuiltPiece

_PIECE, _BLOCK, _HELD = (0.80, 0.81, 0.83), (0.55, 0.62, 0.66), (0.42, 0.36, 0.30)
_SIZE = (560, 400)
_CELL_MM = 1.5
_VEIL = 0.35
_PLATE_MM, _JAW_MM = 12.0, 25.0


def setup_pictures(pieces: tuple[BuiltPiece, ...], plan: MakingPlan) -> dict[int, bytes]:
    """PNG by the set-up's number, from 1; the way up in the machine is up in the picture."""
    meshes = {p.name: coarse(Mesh(vertices_mm=p.mesh[0], faces=p.mesh[1]), _CELL_MM) for p in pieces if len(p.mesh[1])}
    stocks = {stock.piece: stock for stock in plan.stocks}
    found: dict[int, bytes] = {}
    for number, setup in enumerate(plan.setups, start=1):
        if setup.piece in meshes:
            mesh, stock = meshes[setup.piece], stocks[setup.piece]
            veils = (_block(mesh, stock),) if _heavy_from(plan.setups[number - 1 :], setup.piece) else ()
            found[number] = _picture(mesh, stock, setup, veils)
    return found


def _heavy_from(setups: tuple[Setup, ...], piece: str) -> bool:
    """Whether the outside or a chamber is still to be cut in these set-ups of a piece: the block stands round it as yet."""
    left = (name for setup in setups if setup.piece == piece for name in setup.makes)
    return any(name.startswith(("outside", "inside of")) for name in left)


def _picture(mesh: Mesh, stock: Stock, setup: Setup, veils: tuple[Body, ...]) -> bytes:
    part = Body(
        vertices_mm=mesh.vertices_mm,
        faces=mesh.faces,
        normals=corner_normals(mesh.vertices_mm, mesh.faces),
        colour=_PIECE,
    )
    bodies = (part, _holder(mesh, stock, setup), *veils)
    up = np.array(setup.direction)
    side = unit(np.cross(up, [1.0, 0.0, 0.0] if abs(up[0]) < 0.9 else [0.0, 0.0, 1.0]))
    eye = 0.55 * up + 0.9 * side + 0.5 * np.cross(side, up)
    view = View(towards_eye=_three(eye), up=_three(up), width=_SIZE[0], height=_SIZE[1])
    out = io.BytesIO()
    image = np.ascontiguousarray(draw(bodies, view))
    matplotlib.image.imsave(out, image, format="png", metadata={"Software": "tractwright"})
    return out.getvalue()


def _three(vector: Array) -> tuple[float, float, float]:
    return float(vector[0]), float(vector[1]), float(vector[2])


def _block(mesh: Mesh, stock: Stock) -> Body:
    axes = np.array(stock.axes)
    seen = mesh.vertices_mm @ axes.T
    middle = (seen.min(axis=0) + seen.max(axis=0)) / 2.0
    return _box(axes, middle, np.array(stock.size_mm) / 2.0, _BLOCK, _VEIL)


def _holder(mesh: Mesh, stock: Stock, setup: Setup) -> Body:
    """Jaws round the foot of the block or of the outline, or the plate with its riser under the face that rests on it."""
    floor, corners = np.array(setup.floor), mesh.vertices_mm
    if setup.holds_by.startswith("vice"):
        seen = corners @ np.array(stock.axes).T
        corners = np.array(stock.corners_mm()) + (seen.min(axis=0) + seen.max(axis=0)) / 2.0 @ np.array(stock.axes)
    sides = np.array(stock.axes)
    level = sides[int(np.argmin(np.abs(sides @ floor)))]
    across = unit(level - floor * (level @ floor))
    axes = np.stack([across, np.cross(floor, across), floor])
    seen = corners @ axes.T
    in_jaws = "jaws" in setup.holds_by
    thick, margin = (_JAW_MM, 15.0) if in_jaws else (_PLATE_MM, 20.0)
    middle, half = (seen.min(axis=0) + seen.max(axis=0)) / 2.0, np.ptp(seen, axis=0) / 2.0 + margin
    middle[2], half[2] = setup.level_mm - thick, thick
    return _box(axes, middle, half, _HELD, 1.0)


def _box(axes: Array, middle: Array, half: Array, colour: tuple[float, float, float], solidity: float) -> Body:
    corners = np.array([(x, y, z) for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)], dtype=float)
    faces = np.array(
        [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1), (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4),
         (1, 5, 7), (1, 7, 3)], dtype=np.int32,
    )  # fmt: skip
    vertices = (middle + corners * half) @ axes
    return Body(
        vertices_mm=vertices, faces=faces, normals=corner_normals(vertices, faces), colour=colour, solidity=solidity
    )
