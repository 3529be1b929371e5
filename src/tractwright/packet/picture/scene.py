"""A scene of meshes seen from a direction, and its picture as an array of colours."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.geometry.cells import Grid, Mask
from tractwright.geometry.frames import Array, unit
from tractwright.packet.picture.cell_kernels import march
from tractwright.packet.picture.kernels import fill, paint, smooth_sums

Image = npt.NDArray[np.float64]
Triangles = npt.NDArray[np.int32]
_SMOOTH_BELOW = np.cos(np.radians(32.0))
_LIGHTS = np.stack([unit((-0.45, 0.65, 0.62)), unit((0.7, 0.1, 0.5)), unit((-0.25, 0.36, 0.9)), (0.13, 0.15, 0.18)])
_STEP_MM = 2.5


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Body:
    """A mesh with its corner normals, its colour (red, green, blue in 0..1) and how solid it looks (1, or less: a veil)."""

    vertices_mm: Array
    faces: Triangles
    normals: Array
    colour: tuple[float, float, float]
    solidity: float = 1.0


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class CellBody:
    """Metal told by cells: those drawn, and those of metal at all, by which their surface is told; else as a mesh's."""

    grid: Grid
    shown: Mask
    metal: Mask
    colour: tuple[float, float, float]
    solidity: float = 1.0

    def cropped(self) -> tuple[Grid, Mask, Mask] | None:
        """Its grid, the cells drawn and the metal no farther than cells are drawn; None where none is."""
        spans: list[slice] = []
        for axis in range(3):
            there = np.flatnonzero(self.shown.any(axis=tuple(k for k in range(3) if k != axis)))
            if not len(there):
                return None
            spans.append(slice(int(there[0]), int(there[-1]) + 1))
        x, y, z = spans
        grid = self.grid.part((x.start, y.start, z.start), (x.stop, y.stop, z.stop))
        return grid, np.ascontiguousarray(self.shown[x, y, z]), np.ascontiguousarray(self.metal[x, y, z])


Drawn = Body | CellBody


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Where the eye stands: direction from the part to the eye, what is up, picture size in pixels."""

    towards_eye: tuple[float, float, float]
    up: tuple[float, float, float]
    width: int
    height: int


def draw(bodies: tuple[Drawn, ...], view: View) -> Image:
    """The picture (height, width, 3) in 0..1: parallel projection, fitted, shaded, edges inked; veils laid over."""
    fine = View(towards_eye=view.towards_eye, up=view.up, width=2 * view.width, height=2 * view.height)
    axes = _eye_axes(fine)
    fit = _fit(np.concatenate([_corners(body) for body in bodies]) @ axes.T, fine)
    solid = tuple(body for body in bodies if body.solidity >= 1.0)
    image, depth = _painted(solid, axes, fit, fine)
    for body in bodies:
        if body.solidity < 1.0:
            veil, veil_depth = _painted((body,), axes, fit, fine)
            over = (veil_depth > depth)[..., None] * body.solidity
            image = image * (1.0 - over) + veil * over
    return (image[::2, ::2] + image[1::2, ::2] + image[::2, 1::2] + image[1::2, 1::2]) / 4.0


def _eye_axes(view: View) -> Array:
    back = unit(view.towards_eye)
    right = unit(np.cross(view.up, back))
    return np.stack([right, np.cross(back, right), back])


def _fit(seen: Array, view: View) -> tuple[float, Array]:
    low, high = seen.min(axis=0), seen.max(axis=0)
    scale = 0.94 * min(view.width / (high[0] - low[0]), view.height / (high[1] - low[1]))
    return float(scale), (low + high) / 2.0


def _corners(body: Drawn) -> Array:
    """Points (n, 3) that a body lies between."""
    return body.vertices_mm if isinstance(body, Body) else body.grid.corners_mm()


def _painted(bodies: tuple[Drawn, ...], axes: Array, fit: tuple[float, Array], view: View) -> tuple[Image, Array]:
    depth = np.full((view.height, view.width), -np.inf)
    normal = np.zeros((view.height, view.width, 3))
    who = np.full((view.height, view.width), -1, dtype=np.int32)
    scale, middle = fit
    for index, body in enumerate(bodies):
        if isinstance(body, CellBody):
            _march(body, axes, (scale, middle, view), index, (depth, normal, who))
            continue
        seen = (body.vertices_mm @ axes.T - middle) * np.array([scale, -scale, scale])
        corners = (seen + np.array([view.width / 2, view.height / 2, 0.0]))[body.faces]
        owner = np.full(len(body.faces), index, dtype=np.int32)
        fill(np.ascontiguousarray(corners), body.normals @ axes.T, owner, depth, normal, who)
    return _shaded(bodies, depth, normal, who, scale), depth


def _march(
    body: CellBody,
    axes: Array,
    placed: tuple[float, Array, View],
    index: int,
    buffers: tuple[Array, Array, npt.NDArray[np.int32]],
) -> None:
    """Draw cells: their grid laid into the picture's pixels, no more of it than is drawn."""
    cropped = body.cropped()
    if cropped is None:
        return
    (scale, middle, view), (grid, shown, metal) = placed, cropped
    turned = np.array([scale, -scale, scale])
    low = (grid.low_mm @ grid.axes @ axes.T - middle) * turned + np.array([view.width / 2, view.height / 2, 0.0])
    ways = np.ascontiguousarray(grid.axes @ axes.T * np.sign(turned))
    march((shown, metal), (ways, low, np.array(grid.step_mm) * scale), index, buffers)


def corner_normals(vertices_mm: Array, faces: Triangles) -> Array:
    """Normals (t, 3, 3): smooth over neighbours that turn less than the crease angle, sharp elsewhere."""
    corners = vertices_mm[faces]
    area_normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    own = area_normal / np.maximum(np.linalg.norm(area_normal, axis=1, keepdims=True), 1e-30)
    flat = faces.ravel()
    order = np.argsort(flat, kind="stable")
    starts = np.searchsorted(flat[order], np.arange(len(vertices_mm) + 1))
    total = smooth_sums(area_normal, own, flat, order, starts, _SMOOTH_BELOW)
    empty = np.linalg.norm(total, axis=1) < 1e-30
    total[empty] = np.repeat(own, 3, axis=0)[empty]
    return (total / np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-30)).reshape(-1, 3, 3)


def _shaded(bodies: tuple[Drawn, ...], depth: Array, normal: Array, who: npt.NDArray[np.int32], scale: float) -> Image:
    colours = np.array([body.colour for body in bodies] or [(1.0, 1.0, 1.0)])
    return paint(depth, normal, who, colours, _LIGHTS, _STEP_MM * scale)
