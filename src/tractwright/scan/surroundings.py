"""A scan of surroundings as a signed distance: free where one gets to from before the ports, kept out behind its surface."""

import numpy as np
import numpy.typing as npt
from scipy.ndimage import label

from tractwright.design.pattern import DistanceGrid
from tractwright.geometry.distance_field import Grid, nearest_triangles
from tractwright.geometry.distance_kernels import nearest_seed
from tractwright.geometry.frames import Array, vec3
from tractwright.geometry.meshes import Mesh, area_vectors

STEP_MM = 4.0
AROUND_MM = (350.0, 450.0, 600.0)
"""So far beside the row, above and below, and out of the head a manifold may reach; farther is not looked at; judgement."""
BEHIND_HEAD_MM = 60.0
FREE_MM = 1.2
"""Gaps narrower than twice this many steps are closed."""
SIDE_COUNTS_MM = 60.0
"""Nearer than this, the side of the surface that a place lies on counts: no way leads round the scan's edge to its back."""
BEFORE_PORTS_MM = (25.0, 45.0, 70.0)

Mask = npt.NDArray[np.bool_]


def kept_off(mesh: Mesh, name: str, ports_mm: Array) -> tuple[DistanceGrid | None, tuple[str, ...]]:
    """The grid of a scan in the job frame, positive where free; None, and why, where nothing before the ports is free."""
    reach = np.array([np.abs(ports_mm[:, 0]).max() + AROUND_MM[0], AROUND_MM[1], AROUND_MM[2]])
    low = np.maximum(mesh.vertices_mm.min(axis=0) - 6.0 * STEP_MM, [-reach[0], -reach[1], -BEHIND_HEAD_MM])
    high = np.minimum(mesh.vertices_mm.max(axis=0) + 6.0 * STEP_MM, reach)
    if (high - low < 2.0 * STEP_MM).any():
        return None, ("it lies nowhere near the ports: is it in the same axes?",)
    grid, owner = nearest_triangles(mesh, low, high, STEP_MM)
    side, turned = _facing(mesh, grid, owner, ports_mm)
    open_ = (grid.values > FREE_MM * STEP_MM) & (side | (grid.values > SIDE_COUNTS_MM))
    free = _reached(open_, grid, ports_mm)
    if not free.any():
        return None, ("the places before the ports lie in or behind it: is it in the same axes?",)
    values = _signed(grid, free)
    notes = ("its triangles look the other way round: taken as turned inside out",) if turned else ()
    return DistanceGrid(name=name, low_mm=vec3(low), step_mm=STEP_MM, values=values, free_beyond=True), notes


def _facing(mesh: Mesh, grid: Grid, owner: npt.NDArray[np.int32], ports_mm: Array) -> tuple[Mask, bool]:
    """Whether each sample lies before its nearest triangle, and whether all triangles had to be turned."""
    normal = area_vectors(mesh)
    middle = mesh.vertices_mm[mesh.faces].mean(axis=1)
    x, y, z = grid.axes()
    along = np.zeros(owner.shape, dtype=np.float64)
    along += (x[:, None, None] - middle[owner, 0]) * normal[owner, 0]
    along += (y[None, :, None] - middle[owner, 1]) * normal[owner, 1]
    along += (z[None, None, :] - middle[owner, 2]) * normal[owner, 2]
    seen = [along[cell] for cell in _before_ports(grid, ports_mm)]
    turned = bool(seen) and float(np.mean(np.sign(seen))) < 0.0
    return (along < 0.0) if turned else (along >= 0.0), turned


def _before_ports(grid: Grid, ports_mm: Array) -> list[tuple[int, int, int]]:
    """The samples nearest to places in front of the ports, of those within the grid; its middle front where none is."""
    found: list[tuple[int, int, int]] = []
    for x, y in ports_mm:
        for z in BEFORE_PORTS_MM:
            cell = np.rint((np.array([x, y, z]) - grid.low_mm) / grid.step_mm).astype(int)
            if (cell >= 0).all() and (cell < grid.values.shape).all():
                found.append((int(cell[0]), int(cell[1]), int(cell[2])))
    return found


def _reached(open_: Mask, grid: Grid, ports_mm: Array) -> Mask:
    """The open samples that hang together with places before the ports, or with the grid's border where those lie outside."""
    names = np.zeros(open_.shape, dtype=np.int32)
    label(open_, output=names)
    cells = _before_ports(grid, ports_mm)
    started = {int(names[cell]) for cell in cells} - {0}
    if not cells:
        border = np.concatenate([np.unique(names[index]) for index in (np.s_[0], np.s_[-1], np.s_[:, 0], np.s_[:, -1])])
        started = {int(name) for name in border} - {0}
    return np.isin(names, list(started))


def _signed(grid: Grid, free: Mask) -> npt.NDArray[np.float32]:
    """The distance where free, and how deep behind the surface elsewhere, as a negative distance."""
    seed = np.where(free, np.arange(free.size, dtype=np.int32).reshape(free.shape), np.int32(-1))
    nearest_seed(seed)
    there = np.stack(np.unravel_index(seed, free.shape))
    here = np.indices(free.shape)
    depth = np.linalg.norm(here - there, axis=0) * grid.step_mm
    behind = grid.values.ravel()[seed.ravel()].reshape(free.shape) - depth
    return np.where(free, grid.values, behind).astype(np.float32)
