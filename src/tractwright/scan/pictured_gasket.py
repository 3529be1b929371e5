"""A gasket's outline from a flat-bed picture: edges to a fraction of a pixel, the scale from a bar, a distance or the file."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from contourpy import contour_generator
from PIL import Image, UnidentifiedImageError
from scipy.ndimage import gaussian_filter

from tractwright.errors import ScanError
from tractwright.geometry.frames import Array
from tractwright.job.source_tables import Gasket
from tractwright.scan.loops import Loop
from tractwright.scan.shapes import fit_outline

ACCEPTED = "a flat-bed picture (PNG or JPEG) of the gasket, dark on light or light on dark"
MOST_PIXELS = 120_000_000
BLUR_PIXELS = 1.0
SMALLEST_LOOP_PIXELS = 30
BAR_SLIMNESS = 6.0
"""A scale bar is so many times longer than wide; judgement."""
BAR_FULL = 0.93
"""A bar fills so much of the rectangle round it; judgement."""
INCH_MM = 25.4


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Pictured:
    """Closed loops [mm], y up; the scale [mm a pixel] and how it is known, in words."""

    loops: tuple[Loop, ...]
    scale_mm: float
    notes: tuple[str, ...]


def pictured_loops(path: Path, facts: Gasket) -> Pictured:
    """The closed edges in a picture. Raises ScanError where it is no picture, shows nothing, or has no scale."""
    grey, own_dpi = _opened(path)
    edges = _edges(grey, path.name)
    scale, bar, note = _scale(facts, edges, own_dpi, path.name)
    loops = tuple(Loop(points_mm=edge * scale) for i, edge in enumerate(edges) if i != bar)
    return Pictured(loops=loops, scale_mm=scale, notes=(note,))


def _opened(path: Path) -> tuple[Array, float | None]:
    """Brightness (rows from below, columns) and the dots per inch that the file states."""
    if not path.is_file():
        raise ScanError(path.name, "there is no such file", ACCEPTED)
    try:
        with Image.open(path, formats=("PNG", "JPEG")) as picture:
            stated = picture.info.get("dpi")
            small = picture.width * picture.height <= MOST_PIXELS
            grey = np.asarray(picture.convert("L") if small else picture.resize((1, 1)), dtype=np.float32)
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError) as fault:
        raise ScanError(path.name, "it is no whole PNG or JPEG picture of a gasket's size", ACCEPTED) from fault
    if grey.size <= 1:
        raise ScanError(path.name, f"it has more than {MOST_PIXELS / 1e6:.0f} million pixels", ACCEPTED)
    own = float(stated[0]) if stated and 20.0 < float(stated[0]) < 5000.0 else None
    return np.ascontiguousarray(grey[::-1]).astype(np.float64), own


def _edges(grey: Array, name: str) -> list[Array]:
    """Closed lines (n, 2) [pixels, y up] midway between dark and light."""
    smooth = gaussian_filter(grey, BLUR_PIXELS, output=np.float64)
    dark, light = _levels(smooth)
    if light - dark < 30.0:
        raise ScanError(name, "nothing stands out from its ground: too little contrast", ACCEPTED)
    lines = contour_generator(z=smooth).lines((dark + light) / 2.0)
    closed = [
        np.asarray(line)[:-1] for line in lines if len(line) > SMALLEST_LOOP_PIXELS and (line[0] == line[-1]).all()
    ]
    if not closed:
        raise ScanError(name, "no closed edge in it", ACCEPTED)
    return [line for line in closed if np.ptp(line, axis=0).max() > SMALLEST_LOOP_PIXELS]


def _levels(grey: Array) -> tuple[float, float]:
    """Median brightness of the dark and of the light part, told apart at the level that divides them best.

    Source: N. Otsu (1979), IEEE Trans. Systems, Man, Cybernetics 9(1), 62-66 (memory).
    """
    count, limits = np.histogram(grey, bins=256, range=(0.0, 256.0))
    share = np.cumsum(count) / count.sum()
    mean = np.cumsum(count * limits[:-1]) / count.sum()
    spread = (mean[-1] * share - mean) ** 2 / np.maximum(share * (1.0 - share), 1e-12)
    level = float(limits[int(np.argmax(spread[:-1])) + 1])
    dark, light = grey[grey < level], grey[grey >= level]
    if len(dark) == 0 or len(light) == 0:
        return 0.0, 0.0
    return float(np.median(dark)), float(np.median(light))


def _scale(facts: Gasket, edges: list[Array], own_dpi: float | None, name: str) -> tuple[float, int, str]:
    """Millimetres a pixel, which edge is the bar (-1 for none), and how the scale is known."""
    if facts.scale_bar_mm is not None:
        index, pixels = _bar(edges, name)
        scale = facts.scale_bar_mm / pixels
        return (
            scale,
            index,
            f"{name}: scale from the bar of {facts.scale_bar_mm:g} mm, {INCH_MM / scale:.2f} dots per inch",
        )
    if facts.known_mm is not None and facts.known_from is not None and facts.known_to is not None:
        pixels = float(np.hypot(*np.subtract(facts.known_to, facts.known_from)))
        return facts.known_mm / pixels, -1, f"{name}: scale from the known distance of {facts.known_mm:g} mm"
    if facts.dots_per_inch is not None:
        return INCH_MM / facts.dots_per_inch, -1, f"{name}: scale from {facts.dots_per_inch:g} dots per inch, as given"
    if own_dpi is None:
        accepted = "scale_bar, known with known_from and known_to, or dots_per_inch in [[gasket]]"
        raise ScanError(name, "it states no scale", accepted)
    doubt = "flat-bed scanners are off by up to 0.5 %: lay a bar of known length beside it"
    return INCH_MM / own_dpi, -1, f"{name}: scale from the file's own {own_dpi:g} dots per inch; {doubt}"


def _bar(edges: list[Array], name: str) -> tuple[int, float]:
    """The slim straight loop that is most of its own rectangle, and its length in pixels."""
    best = (-1, 0.0)
    for i, edge in enumerate(edges):
        middle = edge.mean(axis=0)
        axes = np.linalg.svd(edge - middle, full_matrices=False)[2]
        size = np.ptp((edge - middle) @ axes.T, axis=0)
        x, y = edge[:, 0], edge[:, 1]
        area = abs(float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))) / 2.0
        if size[0] > BAR_SLIMNESS * size[1] and area > BAR_FULL * size[0] * size[1] and size[0] > best[1]:
            best = (i, float(size[0]))
    if best[0] < 0:
        raise ScanError(name, "no scale bar was found in it", "a straight bar, clear of the gasket, dark as it is")
    edge = edges[best[0]]
    fitted = fit_outline(edge[:: max(1, len(edge) // 3000)], np.zeros(len(edge[:: max(1, len(edge) // 3000)])), False)
    return best[0], max(fitted.outline.width_mm, fitted.outline.height_mm)
