"""An invented head piece, as a shop might have drawn it before anything else: plain solids joined, nothing measured.

Tubes rise from a row of ports, bend upwards and end in a plate. It is drawn in axes of its own and written as STEP.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import cos, pi, radians, sin, tan
from pathlib import Path

import numpy as np

from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Frame, vec3
from tractwright.geometry.outlines import Outline, circle, outline_contour, outline_points
from tractwright.kernel.checked import Checked, cut, fused
from tractwright.kernel.placing import placed
from tractwright.kernel.skins import skin_solid
from tractwright.kernel.step import write_step
from tractwright.shape.parts.bodies import body, prism, turned

_ANGLES, _STATIONS, _SUNK_MM = 48, 41, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class InventedHead:
    """What is drawn [mm, deg]. port : the ports' outline; bore : of the mouths; pitch, mouth_pitch : port to port, mouth to
    mouth; first, radius, turn, last : straight out of the head, bend upwards, straight to the mouth face.

    rim_screws, dowels : in the mouth face's x-y about the middle of the mouths. drawn_in : where it lies in its file's axes.
    """

    ports: int = 4
    port: Outline = field(default_factory=lambda: Outline(kind="oval", width_mm=48.0, height_mm=34.0))
    bore: float = 42.0
    wall: float = 4.5
    pitch: float = 90.0
    mouth_pitch: float = 84.0
    first: float = 26.0
    radius: float = 72.0
    turn: float = 75.0
    last: float = 30.0
    head_plate: float = 13.0
    mouth_plate: float = 14.0
    screw_rise: float = 33.0
    rim_x: tuple[float, ...] = (-168.0, -84.0, 0.0, 84.0, 168.0)
    rim_y: float = 62.0
    end_x: float = 184.0
    dowel_y: float = 38.0
    drawn_in: Frame = field(default_factory=Frame)

    @property
    def port_x(self) -> tuple[float, ...]:
        """Middles of the ports along the row."""
        return tuple((k - (self.ports - 1) / 2.0) * self.pitch for k in range(self.ports))

    @property
    def mouth_x(self) -> tuple[float, ...]:
        """Middles of the mouths along the row."""
        return tuple((k - (self.ports - 1) / 2.0) * self.mouth_pitch for k in range(self.ports))

    @property
    def head_screws(self) -> tuple[tuple[float, float], ...]:
        """Above and below, midway between ports and half a pitch outside them."""
        columns = [(k - self.ports / 2.0) * self.pitch for k in range(self.ports + 1)]
        return tuple((x, side * self.screw_rise) for x in columns for side in (-1.0, 1.0))

    @property
    def rim_screws(self) -> tuple[tuple[float, float], ...]:
        """Along both long sides."""
        return tuple((x, side * self.rim_y) for x in self.rim_x for side in (-1.0, 1.0))

    @property
    def dowels(self) -> tuple[tuple[float, float], ...]:
        """Two, between the mouths' outsides and the first and last rim screw."""
        return ((self.rim_x[0] + 20.0, self.dowel_y), (self.rim_x[-1] - 20.0, self.dowel_y))

    @property
    def mouth_frame(self) -> Frame:
        """On the mouth face, z out of the piece, before it is drawn elsewhere."""
        a = radians(self.turn)
        y = self.radius * (1.0 - cos(a)) + self.last * sin(a)
        z = self.first + self.radius * sin(a) + self.last * cos(a)
        return Frame(origin_mm=(0.0, y, z), x=(1.0, 0.0, 0.0), y=(0.0, cos(a), -sin(a)), z=(0.0, sin(a), cos(a)))


def write_head(path: Path, head: InventedHead) -> Path:
    """Draw it and write it. The same bytes every time."""
    solid = placed(head_solid(head).solid, head.drawn_in)
    write_step([("head", solid)], path, "head")
    return path


def head_solid(head: InventedHead) -> Checked:
    """The piece, its head face in z = 0, its row along x."""
    lines = [_line(head, k) for k in range(head.ports)]
    out, mouth = Frame(), head.mouth_frame
    under = mouth.moved((0.0, 0.0, -head.mouth_plate))
    outside = [body(skin_solid(_skin(head, line, head.wall, (_SUNK_MM, _SUNK_MM)))) for line in lines]
    whole = fused(prism(_head_plate(head), out, head.head_plate), outside, "tubes on the head plate")
    whole = fused(whole, [prism(_mouth_plate(head), under, head.mouth_plate)], "the mouth plate")
    whole = cut(whole, [body(skin_solid(_skin(head, line, 0.0, (-8.0, -8.0)))) for line in lines], "passages")
    through = [_drill(out.moved((x, y, -1.0)), 9.0, head.head_plate + 2.0) for x, y in head.head_screws]
    tapped = [_drill(mouth.moved((x, y, 1.0)), 5.0, -head.mouth_plate - 2.0) for x, y in head.rim_screws]
    pins = [_drill(mouth.moved((x, y, 1.0)), 6.0, -9.0) for x, y in head.dowels]
    return cut(whole, [*through, *tapped, *pins], "holes")


@dataclass(frozen=True, eq=False, slots=True)
class _Line:
    """Middle line of a tube: how far along (n,) of 0 to 1, points, directions and cross axes (n, 3)."""

    share: Array
    points: Array
    tangent: Array
    across: Array


def _line(head: InventedHead, k: int) -> _Line:
    """Straight, bent upwards while it moves sideways to its mouth, straight."""
    a = radians(head.turn)
    lengths = np.array([head.first, head.radius * a, head.last])
    s = np.unique(np.concatenate([np.linspace(0.0, lengths.sum(), _STATIONS), np.cumsum(lengths)[:2]]))
    angle = np.clip((s - head.first) / head.radius, 0.0, a)
    on = np.clip(s - lengths[:2].sum(), 0.0, None)
    y = head.radius * (1.0 - np.cos(angle)) + on * sin(a)
    z = np.minimum(s, head.first) + head.radius * np.sin(angle) + on * cos(a)
    share = angle / a
    smooth = share**3 * (10.0 - 15.0 * share + 6.0 * share**2)
    x = head.port_x[k] + (head.mouth_x[k] - head.port_x[k]) * smooth
    points = np.stack([x, y, z], axis=1)
    side = (head.mouth_x[k] - head.port_x[k]) * 30.0 * share**2 * (1.0 - share) ** 2 / (head.radius * a)
    tangent = np.stack([side, np.sin(angle), np.cos(angle)], axis=1)
    tangent /= np.linalg.norm(tangent, axis=1, keepdims=True)
    across = np.array([1.0, 0.0, 0.0]) - tangent * tangent[:, :1]
    return _Line(smooth, points, tangent, across / np.linalg.norm(across, axis=1, keepdims=True))


def _skin(head: InventedHead, line: _Line, grown: float, ends: Sequence[float]) -> Array:
    """Rows of points (n, m, 3): the port's outline turned into a circle, grown by the wall; the ends moved inwards, or
    outwards where negative.
    """
    port, mouth = outline_points(head.port, _ANGLES, grown), outline_points(circle(head.bore), _ANGLES, grown)
    shape = port[None] * (1.0 - line.share[:, None, None]) + mouth[None] * line.share[:, None, None]
    up = np.cross(line.tangent, line.across)
    rows = line.points[:, None] + shape[..., :1] * line.across[:, None] + shape[..., 1:] * up[:, None]
    first = rows[0] + line.tangent[0] * ends[0]
    last = rows[-1] - line.tangent[-1] * ends[1]
    inner = rows[1:-1] if min(ends) > 0.0 else rows
    return np.concatenate([first[None], inner, last[None]])


def _box(width: float, height: float, radius: float) -> Contour:
    return outline_contour(Outline(kind="rounded_rectangle", width_mm=width, height_mm=height, corner_radius_mm=radius))


def _head_plate(head: InventedHead) -> Contour:
    return _box(head.ports * head.pitch + 28.0, 2.0 * head.screw_rise + 28.0, 13.0)


def _mouth_plate(head: InventedHead) -> Contour:
    return _box(2.0 * head.end_x, 2.0 * head.rim_y + 22.0, 14.0)


def _drill(frame: Frame, bore: float, deep: float) -> Checked:
    """A hole along the frame's z, against it where deep is negative; blind ones end in a drill's point."""
    way = Frame(origin_mm=frame.origin_mm, x=frame.x, y=vec3(-np.array(frame.y)), z=vec3(-np.array(frame.z)))
    on, depth, r = (way if deep < 0.0 else frame), abs(deep), bore / 2.0
    profile: Contour = ((0.0, 0.0, 0.0), (r, 0.0, 0.0), (r, depth, 0.0), (0.0, depth + r / tan(59.0 * pi / 180.0), 0.0))
    return turned(profile, on)
