"""A scene of meshes seen from a direction, and its picture as an array of colours."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array, unit
from tractwright.packet.picture.kernels import fill

Image = npt.NDArray[np.float64]
Triangles = npt.NDArray[np.int32]
_SMOOTH_BELOW = np.cos(np.radians(32.0))
_INK = np.array([0.13, 0.15, 0.18])


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Body:
    """A mesh with its colour (red, green, blue in 0..1) and how solid it looks (1 solid, below 1 a faint veil)."""

    vertices_mm: Array
    faces: Triangles
    colour: tuple[float, float, float]
    solidity: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Where the eye stands: direction from the part to the eye, what is up, picture size in pixels."""

    towards_eye: tuple[float, float, float]
    up: tuple[float, float, float]
    width: int
    height: int


def draw(bodies: tuple[Body, ...], view: View) -> Image:
    """The picture (height, width, 3) in 0..1: parallel projection, fitted, shaded, edges inked; veils laid over."""
    fine = View(towards_eye=view.towards_eye, up=view.up, width=2 * view.width, height=2 * view.height)
    axes = _eye_axes(fine)
    fit = _fit(np.concatenate([body.vertices_mm for body in bodies]) @ axes.T, fine)
    solid = tuple(body for body in bodies if body.solidity >= 1.0)
    image, depth = _painted(solid, axes, fit, fine)
    for body in bodies:
        if body.solidity < 1.0:
            veil, veil_depth = _painted((body,), axes, fit, fine)
            over = (veil_depth > depth)[..., None] * body.solidity
            image = image * (1.0 - over) + veil * over
    return image.reshape(view.height, 2, view.width, 2, 3).mean(axis=(1, 3))


def _eye_axes(view: View) -> Array:
    back = unit(view.towards_eye)
    right = unit(np.cross(view.up, back))
    return np.stack([right, np.cross(back, right), back])


def _fit(seen: Array, view: View) -> tuple[float, Array]:
    low, high = seen.min(axis=0), seen.max(axis=0)
    scale = 0.94 * min(view.width / (high[0] - low[0]), view.height / (high[1] - low[1]))
    return float(scale), (low + high) / 2.0


def _painted(bodies: tuple[Body, ...], axes: Array, fit: tuple[float, Array], view: View) -> tuple[Image, Array]:
    depth = np.full((view.height, view.width), -np.inf)
    normal = np.zeros((view.height, view.width, 3))
    who = np.full((view.height, view.width), -1, dtype=np.int32)
    scale, middle = fit
    for index, body in enumerate(bodies):
        seen = (body.vertices_mm @ axes.T - middle) * np.array([scale, -scale, scale])
        corners = (seen + np.array([view.width / 2, view.height / 2, 0.0]))[body.faces]
        owner = np.full(len(body.faces), index, dtype=np.int32)
        fill(np.ascontiguousarray(corners), corner_normals(body) @ axes.T, owner, depth, normal, who)
    return _shaded(bodies, depth, normal, who, scale), depth


def corner_normals(body: Body) -> Array:
    """Normals (t, 3, 3): smooth over neighbours that turn less than the crease angle, sharp elsewhere."""
    corners = body.vertices_mm[body.faces]
    area_normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    own = area_normal / np.maximum(np.linalg.norm(area_normal, axis=1, keepdims=True), 1e-30)
    flat = body.faces.ravel()
    order = np.argsort(flat, kind="stable")
    starts = np.searchsorted(flat[order], np.arange(len(body.vertices_mm)))
    counts = np.bincount(flat, minlength=len(body.vertices_mm))
    total = np.zeros((len(flat), 3))
    for shift in range(int(counts.max(initial=0))):
        has = counts[flat] > shift
        neighbour = order[np.minimum(starts[flat] + shift, len(order) - 1)] // 3
        smooth = has & (np.sum(own[neighbour] * np.repeat(own, 3, axis=0), axis=1) > _SMOOTH_BELOW)
        total[smooth] += area_normal[neighbour[smooth]]
    empty = np.linalg.norm(total, axis=1) < 1e-30
    total[empty] = np.repeat(own, 3, axis=0)[empty]
    return (total / np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-30)).reshape(-1, 3, 3)


def _shaded(bodies: tuple[Body, ...], depth: Array, normal: Array, who: npt.NDArray[np.int32], scale: float) -> Image:
    n = normal / np.maximum(np.linalg.norm(normal, axis=2, keepdims=True), 1e-12)
    n = np.where(n[..., 2:] < 0.0, -n, n)
    key = np.clip(n @ unit((-0.45, 0.65, 0.62)), 0.0, 1.0)
    fill_light = np.clip(n @ unit((0.7, 0.1, 0.5)), 0.0, 1.0)
    gloss = np.clip(n @ unit((-0.25, 0.36, 0.9)), 0.0, 1.0) ** 40
    light = 0.30 + 0.52 * key + 0.22 * fill_light
    colours = np.array([body.colour for body in bodies] or [(1.0, 1.0, 1.0)])
    image = colours[np.maximum(who, 0)] * light[..., None] + 0.16 * gloss[..., None]
    image = np.where((who >= 0)[..., None], np.clip(image, 0.0, 1.0), 1.0)
    ink = _edges(depth, n, who, scale)[..., None]
    return image * (1.0 - ink) + _INK * ink


def _edges(depth: Array, normal: Array, who: npt.NDArray[np.int32], scale: float) -> Array:
    """Where to ink: outlines, steps in depth, creases. 0..1."""
    level = np.where(np.isfinite(depth), depth, depth[np.isfinite(depth)].min(initial=0.0) - 1e3)
    ink = np.zeros(depth.shape)
    for axis in (0, 1):
        step = np.abs(np.diff(level, 2, axis=axis)) > 2.5 * max(scale, 1.0)
        turn = np.sum(np.delete(normal, 0, axis=axis) * np.delete(normal, -1, axis=axis), axis=2) < 0.78
        other = np.diff(who, axis=axis) != 0
        both_seen = np.minimum(np.delete(who, 0, axis=axis), np.delete(who, -1, axis=axis)) >= 0
        mark = np.where(other, 0.85, 0.0) + np.where(turn & both_seen & ~other, 0.45, 0.0)
        inner = [slice(None), slice(None)]
        inner[axis] = slice(0, -1)
        ink[tuple(inner)] = np.maximum(ink[tuple(inner)], mark)
        inner[axis] = slice(1, -1)
        ink[tuple(inner)] = np.maximum(ink[tuple(inner)], 0.55 * step)
    return np.clip(ink, 0.0, 1.0)
