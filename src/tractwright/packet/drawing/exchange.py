"""Drawing exchange files (DXF) in millimetres, 1 : 1; the same drawing gives the same bytes."""

import io
from collections.abc import Generator
from contextlib import contextmanager
from math import hypot

from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array
from tractwright.geometry.pieces import SAME_MM, pieces_of

_VERSION = "R2010"
_MILLIMETRES, _METRIC = 4, 1
_TEXT_MM = 2.5


def new_drawing(layers: tuple[str, ...]) -> Drawing:
    """An empty drawing with its layers."""
    with _fixed_stamps():
        drawing = new(_VERSION)
    drawing.header["$INSUNITS"] = _MILLIMETRES
    drawing.header["$MEASUREMENT"] = _METRIC
    for layer in layers:
        drawing.layers.add(layer)
    return drawing


def drawing_bytes(drawing: Drawing) -> bytes:
    """The drawing as a text file, its stamps fixed and what it declares in an order of its own."""
    out = io.StringIO()
    for kind in sorted({entity.dxftype() for entity in drawing.entitydb.values()}):
        drawing.classes.add_class(kind)
    with _fixed_stamps():
        drawing.write(out)
    return out.getvalue().encode()


def add_contour(space: Modelspace, contour: Contour, layer: str) -> None:
    """A closed contour: a circle where it is one, else lines and arcs in one run."""
    round_ = _as_circle(contour)
    if round_ is not None:
        space.add_circle(round_[0], round_[1], dxfattribs={"layer": layer})
    else:
        space.add_lwpolyline(contour, format="xyb", close=True, dxfattribs={"layer": layer})


def add_circle(space: Modelspace, at: tuple[float, float], diameter_mm: float, layer: str) -> None:
    """A circle."""
    space.add_circle(at, diameter_mm / 2.0, dxfattribs={"layer": layer})


def add_words(space: Modelspace, at: tuple[float, float], words: str, layer: str) -> None:
    """Words with their middle at a place."""
    text = space.add_text(words, height=_TEXT_MM, dxfattribs={"layer": layer})
    text.set_placement(at, align=TextEntityAlignment.MIDDLE_CENTER)


def add_line(space: Modelspace, start_mm: Array, end_mm: Array, layer: str) -> None:
    """A straight line in space."""
    space.add_line(_place(start_mm), _place(end_mm), dxfattribs={"layer": layer})


def add_spline(space: Modelspace, poles_mm: Array, degree: int, layer: str) -> None:
    """A clamped uniform B-spline in space by its poles (n, 3)."""
    space.add_open_spline([_place(pole) for pole in poles_mm], degree, dxfattribs={"layer": layer})


def add_ring(space: Modelspace, points_mm: Array, layer: str) -> None:
    """A closed run of straight lines in space through points (n, 3)."""
    space.add_polyline3d([_place(point) for point in points_mm], close=True, dxfattribs={"layer": layer})


def _place(point: Array) -> tuple[float, float, float]:
    x, y, z = (float(value) for value in point)
    return x, y, z


def _as_circle(contour: Contour) -> tuple[tuple[float, float], float] | None:
    pieces = pieces_of(contour)
    (x, y), radius = pieces[0].centre, pieces[0].radius
    same = all(
        piece.radius > 0.0
        and abs(piece.radius - radius) < SAME_MM
        and hypot(piece.centre[0] - x, piece.centre[1] - y) < SAME_MM
        for piece in pieces
    )
    return ((x, y), radius) if same else None


@contextmanager
def _fixed_stamps() -> Generator[None]:
    """The library stamps the time and draws identifiers by lot, unless told not to."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
