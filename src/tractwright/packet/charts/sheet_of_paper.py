"""The one look of all charts, and their way to SVG."""

import io
from collections.abc import Iterator
from contextlib import contextmanager

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

INK = "#1f2d36"
COPPER = "#b4572a"
TEAL = "#2a7f86"
SAND = "#e9e2d3"
STONE = "#8b949b"

_LOOK = {
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
def the_look() -> Iterator[None]:
    """Charts drawn inside share one look."""
    with mpl.rc_context(_LOOK):
        yield


def blank(width_in: float, height_in: float) -> Figure:
    """An empty sheet of that size [inch]."""
    return Figure(figsize=(width_in, height_in), layout="constrained")


def quiet_grid(axes: Axes) -> None:
    """A faint grid behind the lines."""
    axes.grid(visible=True)
    axes.set_axisbelow(True)


def as_svg(figure: Figure) -> bytes:
    """The sheet as SVG without a date."""
    out = io.BytesIO()
    FigureCanvasSVG(figure).print_svg(out, metadata={"Date": None, "Creator": None})
    return out.getvalue()
