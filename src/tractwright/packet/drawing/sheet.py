"""A drawing sheet in millimetres that becomes SVG; x to the right, y up, the origin at its lower left corner."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal
from xml.sax.saxutils import escape

from tractwright.geometry.contours import Contour, polyline
from tractwright.geometry.frames import Array
from tractwright.packet.colours import INK

_CHORD_MM = 0.004
_FONT = "Libertinus Serif, serif"
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """How a line is drawn: width [mm], colour, dashes [mm] and the fill inside it ('none' for a line only)."""

    width: float = 0.25
    colour: str = INK
    dashes: tuple[float, ...] = ()
    fill: str = "none"

    def attributes(self) -> str:
        """As SVG attributes."""
        dashes = f' stroke-dasharray="{" ".join(_n(d) for d in self.dashes)}"' if self.dashes else ""
        return f'stroke="{self.colour}" stroke-width="{_n(self.width)}" fill="{self.fill}"{dashes}'


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet of width x height [mm] and what is drawn on it, in order."""

    width: float
    height: float
    _marks: list[str] = field(default_factory=list[str])

    def line(self, points: Iterable[tuple[float, float]], stroke: Stroke, *, closed: bool = False) -> None:
        """A run of straight lines."""
        steps = " ".join(f"{_n(x)},{_n(self.height - y)}" for x, y in points)
        self._marks.append(f'<{"polygon" if closed else "polyline"} points="{steps}" {stroke.attributes()}/>')

    def circle(self, at: tuple[float, float], diameter: float, stroke: Stroke) -> None:
        """A circle."""
        x, y = _n(at[0]), _n(self.height - at[1])
        self._marks.append(f'<circle cx="{x}" cy="{y}" r="{_n(diameter / 2)}" {stroke.attributes()}/>')

    def text(
        self, at: tuple[float, float], words: str, size: float = 2.6, anchor: Anchor = "start", turn: float = 0.0
    ) -> None:
        """Words with their baseline at a place, in ink; turn [deg] counter-clockwise."""
        x, y = _n(at[0]), _n(self.height - at[1])
        spin = f' transform="rotate({_n(-turn)} {x} {y})"' if turn else ""
        font = f'font-family="{_FONT}" font-size="{_n(size)}" text-anchor="{anchor}" fill="{INK}"'
        self._marks.append(f'<text x="{x}" y="{y}" {font}{spin}>{escape(words)}</text>')

    def arrow(self, tip: tuple[float, float], way: tuple[float, float], size: float = 2.2) -> None:
        """A slim filled arrow head, its tip at a place, pointing along a unit way."""
        (x, y), (dx, dy) = tip, way
        base = (x - size * dx, y - size * dy)
        side = (-dy * size * 0.16, dx * size * 0.16)
        corners = ((x, y), (base[0] + side[0], base[1] + side[1]), (base[0] - side[0], base[1] - side[1]))
        self.line(corners, Stroke(width=0.05, fill=INK), closed=True)

    def svg(self) -> bytes:
        """The sheet as SVG of its true size."""
        w, h = _n(self.width), _n(self.height)
        head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">'
        return "\n".join([head, *self._marks, "</svg>", ""]).encode()


def contour_points(contour: Contour) -> Array:
    """A contour as points (n, 2) close enough for a drawing."""
    return polyline(contour, _CHORD_MM * 5)


def _n(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
