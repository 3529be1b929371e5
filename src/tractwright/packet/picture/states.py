"""The block as it is before and after each set-up, by cells: what of the metal round the finished piece still stands.

Holes, passages, chambers and what lies over a joint face go with the set-up that cuts them; the outside goes where tools come
to it past the piece, over plate or jaws. About as fine as a picture's pixels: for looking at, not for computing paths.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.design.records import Design
from tractwright.geometry.cells import Grid, Mask, grid_over, inside_of, into_map, nearest_of
from tractwright.geometry.cells_kernels import clear_crumbs, see
from tractwright.geometry.frames import Array, Vec3
from tractwright.geometry.height_map import height_map
from tractwright.make.feature import Face, faces_of
from tractwright.make.made_by import Makers, made_by
from tractwright.make.records import Setup, Stock
from tractwright.make.samples import surface_samples
from tractwright.shape.records import BuiltPiece

_MOST_CELLS, _SAMPLES = 3e6, 25_000


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class CellState:
    """A set-up's block. stays : cells round the piece that it leaves, goes : that it cuts; body : of the piece itself."""

    grid: Grid
    stays: Mask
    goes: Mask
    body: Mask


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Known:
    """A piece's block in cells. labels (nx, ny, nz) : by which of the makers a cell goes, numbered from 1, the outside."""

    built: BuiltPiece
    faces: tuple[Face, ...]
    grid: Grid
    body: Mask
    labels: npt.NDArray[np.int16]
    makers: Makers


def cell_states(design: Design, built: BuiltPiece, stock: Stock, setups: tuple[Setup, ...]) -> Iterator[CellState]:
    """The block of a piece at each of its set-ups, in order."""
    known = _known(design, built, stock)
    left = ~known.body
    for setup in setups:
        before = left.copy()
        _cut(known, setup, left)
        yield CellState(grid=known.grid, stays=left.copy(), goes=before & ~left, body=known.body)


def _known(design: Design, built: BuiltPiece, stock: Stock) -> _Known:
    piece = next(item for item in design.pieces if item.name == built.name)
    axes = np.array(stock.axes)
    seen = built.mesh[0] @ axes.T
    grid = grid_over(axes, (seen.min(axis=0) + seen.max(axis=0)) / 2.0, stock.size_mm, _MOST_CELLS)
    body = inside_of(grid, *built.mesh)
    samples = surface_samples(built.mesh, _SAMPLES)
    numbers, makers = made_by(design, piece, samples)
    beside = samples.points_mm + 0.6 * max(grid.step_mm) * samples.normals
    faces = faces_of(design, piece)
    labels = nearest_of(grid, body, beside, numbers)
    for face in faces:
        _over_face(grid, face, labels, makers)
    return _Known(built=built, faces=faces, grid=grid, body=body, labels=labels, makers=makers)


def _over_face(grid: Grid, face: Face, labels: npt.NDArray[np.int16], makers: Makers) -> None:
    """What lies over a joint face goes with the face, not with the holes, grooves, passages and bores that open in it."""
    rough = frozenset({f"{face.name} roughed"})
    words = (face.name, "bore") if face.joint.kind in ("neck", "body") else (face.name,)
    opening = [n for n, names in enumerate(makers, 1) if any(word in name for name in names for word in words)]
    if rough not in makers:
        return
    places = np.ix_(*(np.arange(count) for count in grid.shape))
    along = grid.along(np.array(face.out))
    high = sum((along[k] * places[k] for k in range(3)), start=along[3] - float(np.dot(face.at_mm, face.out)))
    labels[np.isin(labels, opening) & (high > 0.0)] = makers.index(rough) + 1


def _cut(known: _Known, setup: Setup, left: Mask) -> None:
    """Take off what a set-up cuts."""
    made = frozenset(setup.makes)
    numbers = [number for number, names in enumerate(known.makers, start=1) if names & made]
    left &= ~np.isin(known.labels, numbers)
    outside = known.labels == 1
    for face in known.faces:
        if f"{face.name} roughed" in made:
            _see(known, left, outside, face.out, (face.out, float(np.dot(face.at_mm, face.out))))
    if any(name.startswith("outside") for name in made):
        over = (setup.floor, setup.level_mm)
        for way in setup.ways or (setup.direction,):
            _see(known, left, outside, way, over)
        clear_crumbs(left, outside, known.body)


def _see(known: _Known, left: Mask, asked: Mask, way: Vec3, over: tuple[Vec3, float]) -> None:
    """Take off what a straight tool meets from one way, over a plane (out of it, how far along that it lies)."""
    plane: Array = known.grid.along(np.array(over[0])) - np.array([0.0, 0.0, 0.0, over[1]])
    seen = height_map(*known.built.mesh, np.array(way), max(known.grid.step_mm))
    see(left, asked, (seen.heights, into_map(known.grid, seen), seen.step_mm), plane[None, :])
