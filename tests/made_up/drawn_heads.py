"""Head pieces drawn in another library: tubes that bend a quarter turn upwards between two plates. Nobody's engine.

Everything about them is known in closed form. Axes: the ports' row along x, the head's face at z = 0, the mouths' face at
y = bend + rise, looking up.
"""

from dataclasses import dataclass
from math import cos, pi, radians, sin
from pathlib import Path

from build123d import (
    Axis,
    Box,
    Circle,
    Cylinder,
    Location,
    Part,
    Plane,
    Pos,
    Sketch,
    SlotCenterToCenter,
    export_step,
    extrude,
    mirror,
    revolve,
    scale,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnHead:
    """Sizes [mm]. bore, wall : of the tubes; run : straight out of the head; bend : radius of the quarter turn; rise :
    straight to the mouths. slot : how much longer than high the openings are, 0 for round ones. clear : the mouths' holes
    pass a screw instead of holding it. groove : whether a seal's groove goes round the mouths. lean : how far the mouths'
    face is tilted about the row, so that passages come out of it that far off square [deg].
    """

    count: int = 2
    pitch: float = 86.0
    bore: float = 38.0
    slot: float = 0.0
    wall: float = 5.0
    run: float = 30.0
    bend: float = 60.0
    rise: float = 34.0
    head_plate: float = 12.0
    mouth_plate: float = 14.0
    screw_rise: float = 34.0
    rim_y: float = 58.0
    clear: bool = False
    groove: bool = False
    lean: float = 0.0

    @property
    def face(self) -> Plane:
        """The mouths' face, x along the row, z out of the piece."""
        y, z = self.mouth_at
        tilt = radians(self.lean)
        return Plane((0, y, z), x_dir=(1, 0, 0), z_dir=(0, cos(tilt), sin(tilt)))

    @property
    def x(self) -> tuple[float, ...]:
        """Middles of ports and mouths along the row."""
        return tuple((k - (self.count - 1) / 2) * self.pitch for k in range(self.count))

    @property
    def length(self) -> float:
        """Of a passage, face to face."""
        return self.run + self.bend * pi / 2 + self.rise

    @property
    def area(self) -> float:
        """Of a passage's section."""
        return pi / 4 * self.bore**2 + self.slot * self.bore

    @property
    def mouth_at(self) -> tuple[float, float]:
        """y and z of the row of mouths."""
        return self.bend + self.rise, self.run + self.bend

    @property
    def head_screws(self) -> tuple[tuple[float, float], ...]:
        """x and y, above and below, half a pitch beside the ports."""
        columns = [(k - self.count / 2) * self.pitch for k in range(self.count + 1)]
        return tuple((x, side * self.screw_rise) for x in columns for side in (-1, 1))

    @property
    def rim_screws(self) -> tuple[tuple[float, float], ...]:
        """x and, across the row from the middle of the mouths, z; one out of line so that no turn brings them home."""
        columns = [(k - self.count / 2) * self.pitch for k in range(self.count + 1)]
        places = [(x, side * self.rim_y) for x in columns for side in (-1, 1)]
        return (*places[:-1], (places[-1][0] - 4.0, places[-1][1]))

    @property
    def dowels(self) -> tuple[tuple[float, float], ...]:
        """x and z as with the screws."""
        half = self.count / 2 * self.pitch - 18.0
        return ((-half, 36.0), (half, 36.0))


def drawn_head(head: DrawnHead) -> Part:
    """The piece as a solid."""
    long, face = head.count * head.pitch + 30.0, head.face
    part = Pos(0, 0, head.head_plate / 2) * Box(long, 2 * head.screw_rise + 30.0, head.head_plate)
    part += face.offset(-head.mouth_plate / 2) * Box(long, 2 * head.rim_y + 24.0, head.mouth_plate)
    beyond = 20.0 if head.lean else 0.0
    for x in head.x:
        part += Pos(x, 0, 0) * _tube(head, head.bore + 2 * head.wall, beyond)
    if head.lean:
        part -= face.offset(100.0) * Box(1000.0, 1000.0, 200.0)
    for x in head.x:
        part -= Pos(x, 0, 0) * _tube(head, head.bore, beyond)
    for x, at in head.head_screws:
        part -= Pos(x, at, head.head_plate / 2) * Cylinder(4.5, 2 * head.head_plate)
    for x, at in head.rim_screws:
        part -= face * Pos(x, -at, 0) * Cylinder(3.3 if head.clear else 2.5, 4 * head.mouth_plate)
    for x, at in head.dowels:
        part -= face * Pos(x, -at, 0) * Cylinder(3.0, 16.0)
    return part - _groove(head) if head.groove else part


def write_head(
    path: Path, part: Part, *, turned: Location | None = None, inch: bool = False, mirrored: bool = False
) -> Path:
    """The piece as STEP, moved, in inches, or as seen in a mirror along its row."""
    shape = mirror(part, Plane.YZ) if mirrored else part
    shape = shape.moved(turned) if turned else shape
    if inch:
        shape = scale(shape, by=1 / 25.4)
    export_step(shape, path)
    return path


def _section(head: DrawnHead, size: float) -> Sketch:
    return Circle(size / 2) if head.slot == 0.0 else SlotCenterToCenter(head.slot, size)


def _tube(head: DrawnHead, size: float, beyond: float = 0.0) -> Part:
    out = extrude(Plane.XY * _section(head, size), head.run)
    centre = (0, head.bend, head.run)
    turn = revolve(Plane((0, 0, head.run)) * _section(head, size), Axis(centre, (-1, 0, 0)), 90)
    y, z = head.bend, head.run + head.bend
    up = extrude(Plane((0, y, z), x_dir=(1, 0, 0), z_dir=(0, 1, 0)) * _section(head, size), head.rise + beyond)
    return out + turn + up


def _groove(head: DrawnHead) -> Part:
    """3.4 mm wide, 2 mm deep, 4 mm off the mouths' edges."""
    face = head.face
    run = (head.count - 1) * head.pitch + head.slot
    outer, inner = (SlotCenterToCenter(run, head.bore + off) for off in (8.0 + 6.8, 8.0))
    return extrude(face * (outer - inner), -2.0)
