"""What is read from a solid, in its own coordinates [mm]."""

from dataclasses import dataclass
from typing import Literal

from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Frame, Vec3
from tractwright.kernel.body import Body

HoleUse = Literal["tapped", "clearance", "dowel", "pipe", "plain"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleStep:
    """A stretch of a hole: diameters at its start and its end, depths from the face it is read from [mm]."""

    first_mm: float
    last_mm: float
    from_mm: float
    to_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round hole read from a plane face. at_mm : its middle on the face; into : unit, into the metal.

    bore_mm : diameter of its narrowest cylinder; depth_mm : full bore, from the face; through : it comes out again.
    counterbore_mm, seat_depth_mm : a wider cylinder's diameter, and how deep under the face its floor lies; 0 none.
    mouth_mm : diameter on the face. crossed : something else cuts into it.
    use, thread : what its bore is most likely for, pipe a taper pipe thread; threads : every thread the bore would suit,
    likeliest first. slot_mm, slot_way : how much longer than wide a slotted hole is, and along which unit way; 0 round.
    """

    at_mm: Vec3
    into: Vec3
    steps: tuple[HoleStep, ...]
    bore_mm: float
    depth_mm: float
    through: bool
    crossed: bool
    counterbore_mm: float
    seat_depth_mm: float
    mouth_mm: float
    use: HoleUse
    thread: str
    threads: tuple[str, ...]
    slot_mm: float = 0.0
    slot_way: Vec3 = (0.0, 0.0, 0.0)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Opening:
    """A mouth of a passage or chamber in a joint face. contour, centre_mm : in the face frame's x-y; inside : the faces
    of the metal it leads to; land_mm : least metal between it and what is next to it in the face, beside says what.
    """

    name: str
    contour: Contour
    centre_mm: tuple[float, float]
    area_mm2: float
    size_mm: tuple[float, float]
    round: bool
    inside: frozenset[int]
    land_mm: float = float("inf")
    beside: str = ""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Groove:
    """A closed groove in a joint face: its two edges in the face frame's x-y, width and depth [mm]."""

    outer: Contour
    inner: Contour
    width_mm: float
    depth_mm: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class JointFace:
    """A plane face another part bears on. frame : z out of the metal, x along its openings; faces : of the body."""

    name: str
    frame: Frame
    outlines: tuple[Contour, ...]
    area_mm2: float
    openings: tuple[Opening, ...]
    holes: tuple[Hole, ...]
    grooves: tuple[Groove, ...]
    faces: frozenset[int]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class PassageEnd:
    """Where a passage opens: face and opening by name, middle, unit direction into the passage."""

    face: str
    opening: str
    at_mm: Vec3
    into: Vec3


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Passage:
    """A passage from one opening to another. s_mm (n,), centre_mm, tangent (n, 3), area_mm2 (n,), radius_mm (n,) of its
    bend, inf where straight; ends : at s = 0 and at the length. lips_mm : how far in the rounding or chamfer of each opening
    goes. shared : where several run together into one opening, the number of that meeting; 0 alone.
    """

    name: str
    ends: tuple[PassageEnd, PassageEnd]
    s_mm: Array
    centre_mm: Array
    tangent: Array
    area_mm2: Array
    radius_mm: Array
    inside: frozenset[int]
    lips_mm: tuple[float, float] = (0.0, 0.0)
    shared: int = 0

    @property
    def length_mm(self) -> float:
        """Along the centreline, face to face."""
        return float(self.s_mm[-1])


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Chamber:
    """A hollow that more than two openings, or only one, lead to: by name, face and opening."""

    openings: tuple[tuple[str, str], ...]
    inside: frozenset[int]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class OwnSolid:
    """One solid read: its joint faces (the largest opening area first), every hole of it, passages, chambers."""

    name: str
    body: Body
    joint_faces: tuple[JointFace, ...]
    holes: tuple[Hole, ...]
    passages: tuple[Passage, ...]
    chambers: tuple[Chamber, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class OwnFile:
    """A file read."""

    file: str
    unit: str
    solids: tuple[OwnSolid, ...]
    notes: tuple[str, ...]
