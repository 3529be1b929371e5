"""The one look of all charts, and their way to SVG and PNG."""

import io
from collections.abc import Generator
from contextlib import contextmanager
from typing import Any

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from tractwright.packet.colours import INK

_INCH_MM = 25.4
_DOTS = 200.0
_LOOK: dict[Any, Any] = {
    "svg.hashsalt": "tractwright",
    "svg.fonttype": "path",
    "font.family": "DejaVu Sans",
    "font.size": 8.0,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.6,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.color": INK,
    "ytick.color": INK,
    "text.color": INK,
    "lines.linewidth": 1.4,
    "grid.color": "#d9dde0",
    "grid.linewidth": 0.5,
}


@contextmanager
def the_look() -> Generator[None]:
    """Charts drawn inside share one look."""
    with mpl.rc_context(_LOOK):
        yield


def blank(width_in: float, height_in: float) -> Figure:
    """An empty sheet of that size [inch], its axes placed so that nothing overlaps."""
    return Figure(figsize=(width_in, height_in), layout="constrained")


def bare(width_mm: float, height_mm: float) -> Figure:
    """An empty sheet of that size [mm], its axes placed by hand."""
    return Figure(figsize=(width_mm / _INCH_MM, height_mm / _INCH_MM))


def quiet_grid(axes: Axes) -> None:
    """A faint grid behind the lines."""
    axes.grid(visible=True)
    axes.set_axisbelow(True)


def as_svg(figure: Figure) -> bytes:
    """The sheet as SVG without a date."""
    out = io.BytesIO()
    FigureCanvasSVG(figure).print_svg(out, metadata={"Date": None, "Creator": None})
    return out.getvalue()


def as_png(figure: Figure) -> bytes:
    """The sheet as PNG, 200 dots an inch, without a date."""
    out = io.BytesIO()
    figure.set_dpi(_DOTS)
    FigureCanvasAgg(figure).print_png(out, metadata={"Software": None})
    return out.getvalue()
