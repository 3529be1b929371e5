"""A head piece of the user's own as the description tells it: job axes, mm. What geometry cannot tell stands in `unknown`."""

from dataclasses import dataclass
from typing import Literal

from tractwright.design.records import Bank, Port
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, Vec3
from tractwright.geometry.outlines import Outline

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRunner:
    """A passage of the piece: from its port to its mouth in the mouth face; from several ports where their passages run
    together, then told as one along their middle, as large as all of them.

    mouth_mm : middle of the mouth, mouth frame x-y; outline, turn_deg : of the mouth there; bore_mm : of a circle as large.
    leaves : unit, the way the passage comes out of the piece; lean_deg : how far that is off square to the face.
    poles_mm, port_lead_mm, end_lead_mm : its course inside the piece; off_mm : how far the traced middle line lies from
    that course at most. roots_mm : least root radius at the head's plate and at the mouths', None where no wall rises from
    it. length_mm : traced, face to face. area_mm2, wall_mm : (distance from the head face, value).
    """

    ports: tuple[str, ...]
    mouth_mm: Point
    outline: Outline
    turn_deg: float
    bore_mm: float
    leaves: Vec3
    lean_deg: float
    poles_mm: tuple[Vec3, ...]
    port_lead_mm: float
    end_lead_mm: float
    off_mm: float
    roots_mm: tuple[float | None, float | None]
    length_mm: float
    area_mm2: tuple[tuple[float, float], ...]
    wall_mm: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnHole:
    """A hole in one of the two joint faces, at_mm in the bank's or the mouth frame's x-y.

    bore_mm, depth_mm, through : as drawn; seat_mm : from the joint face to where a head bears; seat_radius_mm : how wide
    the flat there is; counterbore_mm : 0 none; thread : the likeliest; slot_mm : how much longer than wide,
    0 round.
    """

    at_mm: Point
    use: Literal["tapped", "clearance", "dowel", "pipe", "plain"]
    bore_mm: float
    depth_mm: float
    through: bool
    seat_mm: float
    seat_radius_mm: float
    counterbore_mm: float
    thread: str
    slot_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnGroove:
    """A closed groove in the mouth face: its middle line in the mouth frame's x-y, width and depth [mm]."""

    path: Contour
    width_mm: float
    depth_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnHead:
    """The piece. frame : the axes of its file in the job's. bank : with the head face's frame.

    head_outline in the bank's x-y, mouth_outline in the mouth frame's; mouth_frame : origin midway between the mouths, x
    along their row, z out of this piece. head_mm, mouth_mm : thickness of the two plates. unknown : (subject, what is
    missing) for what its geometry cannot tell; notes : what a reader should know.
    """

    file: str
    sha256: str
    solid: int
    frame: Frame
    bank: Bank
    ports: tuple[Port, ...]
    head_outline: Contour
    head_mm: float
    head_holes: tuple[OwnHole, ...]
    mouth_frame: Frame
    mouth_outline: Contour
    mouth_mm: float
    mouth_holes: tuple[OwnHole, ...]
    grooves: tuple[OwnGroove, ...]
    runners: tuple[OwnRunner, ...]
    placed_by: Literal["by its ports", "as drawn"]
    left_mm: float
    unknown: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()
