"""The description of a manifold: plain frozen records, about a hundred numbers, from which all else is derived.

Axes of a job, all lengths in mm: x along the crankshaft from port 1's end, y up, z out of the one head; of an engine with
two heads z to the right, from its middle plane. An upright inline engine's bank frame is the job frame. Paths such as
`runner.r3.length_mm` name a number.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from tractwright.design.body_row import BodyRow
from tractwright.design.boss import Boss
from tractwright.design.channel import Channel
from tractwright.design.spacer import Spacer
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, Vec3
from tractwright.geometry.outlines import Outline

Standing = Literal["held", "solved", "assumed", "fact"]
Schedule = tuple[tuple[float, float], ...]
"""(fraction of the runner's length from the port, value), rising fractions from 0 to 1, joined by straight lines."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bank:
    """A head face. frame: origin midway between first and last port, x along the row, y up, z out of the head.

    spacer_mm : thickness of an insulating spacer on it; frame and ports are then those of the spacer's outer face.
    """

    name: str
    frame: Frame
    spacer_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Port:
    """An opening in a head face. at_mm, outline and turn_deg (counter-clockwise) in the bank's x-y; axis (job frame,
    unit) points out of the head into the runner.
    """

    name: str
    bank: str
    cylinders: tuple[int, ...]
    at_mm: tuple[float, float]
    outline: Outline
    turn_deg: float
    axis: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadHole:
    """A hole of the head's own pattern, in the bank's x-y: tapped for a screw, or carrying a stud."""

    name: str
    bank: str
    at_mm: tuple[float, float]
    thread: str
    depth_mm: float
    stud: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Mouth:
    """Where a runner ends. plenum : the plenum it enters, or the row of throttle bodies that it ends in one of; place in that
    frame's x-y on the floor's inner face, bore, radius of the rounded entry.

    contour : its opening about at_mm where it is not round; bore_mm is then of a circle as large. lean : how far its middle
    moves in x and y for each mm on its way up through the floor, 0 where it arrives square.
    """

    plenum: str
    at_mm: tuple[float, float]
    bore_mm: float
    lip_radius_mm: float
    contour: Contour = ()
    lean: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Runner:
    """A passage from one or more ports to a mouth, with its metal.

    Course: straight from the port centre along the port axis for port_lead_mm; the quartic B-spline of `poles_mm` (8);
    straight along the plenum frame's z for mouth_lead_mm, ending on the plenum floor's inner face.
    length_mm : along the centreline, head face to plenum floor's inner face. area_mm2, wall_mm : schedules.
    port_blend_mm, mouth_blend_mm : root radius where the skin meets the head flange and the mouth flange; split_blend_mm :
    the same at the flanges of split joints, where there are any.
    """

    name: str
    bank: str
    ports: tuple[str, ...]
    mouth: Mouth
    poles_mm: tuple[Vec3, ...]
    port_lead_mm: float
    mouth_lead_mm: float
    length_mm: float
    length_wanted_mm: float
    area_mm2: Schedule
    wall_mm: Schedule
    port_blend_mm: float
    mouth_blend_mm: float
    split_blend_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Plenum:
    """A chamber. bank: the one whose runners end in it, '' where they come from several. frame: origin on the joint under
    its floor, midway between its mouths; x along the mouths; z into the plenum. Inside it is a box with rounded upright
    edges, centred on centre_mm (frame x-y), from z = floor_mm to z = floor_mm + depth_mm, where the cover lies. volume_l :
    air inside, without the lips and the throttle neck.
    """

    name: str
    bank: str
    frame: Frame
    centre_mm: tuple[float, float]
    width_mm: float
    height_mm: float
    corner_radius_mm: float
    depth_mm: float
    floor_mm: float
    wall_mm: float
    volume_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Throttle:
    """A throttle opening. plenum : what it feeds, a plenum or a row of bodies. place: which side of the plenum box (end_1 = -x
    end, end_2 = +x end, top = cover, side_1 = -y, side_2 = +y), or mouths, on the end of a runner. frame: origin at the
    centre of the face that the throttle body bolts to, z out of the manifold. neck_mm : from the plenum's outer wall to that
    face. holes_mm : tapped holes for the body, frame x-y.
    """

    name: str
    plenum: str
    place: Literal["end_1", "end_2", "top", "side_1", "side_2", "mouths"]
    bore_mm: float
    frame: Frame
    neck_mm: float
    holes_mm: tuple[tuple[float, float], ...]
    hole_thread: str


PieceKind = Literal["head", "middle", "plenum", "cover", "neck"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece of metal. own : path of the user's own STEP file, empty for pieces the tool makes; own_sha256 : hash of its
    bytes; own_solid : which of its solids; own_frame : the axes of that file in the job's.
    """

    name: str
    kind: PieceKind
    material: str
    own: str = ""
    own_sha256: str = ""
    own_solid: int = 0
    own_frame: Frame = field(default_factory=Frame)


@dataclass(frozen=True, slots=True, kw_only=True)
class Flange:
    """A plate of a piece at a joint. frame: origin in the joint plane, z from the joint INTO this piece; contour in its
    x-y, counter-clockwise, lines and arcs; thickness_mm along z. pockets: contours cut through or to pocket_floor_mm.
    """

    name: str
    piece: str
    joint: str
    frame: Frame
    contour: Contour
    thickness_mm: float


JointKind = Literal["head", "split", "runner", "cover", "neck", "body"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Two pieces face to face. pieces: the one the frame's z points away from, then the one it points into; 'engine' and
    'throttle_body' stand for what is not ours. frame: in the joint plane. kind 'split': across the runners, between head
    piece and middle piece; station_mm : where it stands along the first runner, from the head face; 0 for other kinds.
    """

    name: str
    kind: JointKind
    pieces: tuple[str, str]
    frame: Frame
    station_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Screw:
    """A screw of a joint.

    seat_mm : centre of the face the head or washer bears on (job frame); direction : unit, from head to tip.
    thread : 'M8x1.25'; head : 'cap' (ISO 4762) or 'hex' (ISO 4017); washer : 'ISO 7089' or ''.
    grip_mm : seat to joint plane; length_mm : stock length under the head; engagement_mm : full thread in metal;
    tapped_in : piece name or 'engine'; tapped_depth_mm : full thread from the joint plane; drill_depth_mm.
    standoff_mm : height of the seat over the flange's own face; 0 flush, negative = counterbored that deep.
    post_mm : diameter of the standoff's post or the seat's pad; counterbore_mm : diameter, 0 none.
    clearance_mm : hole through the clamped piece; slot_mm : how much longer it is along the way from the middle of its
    joint's screws, 0 round.
    """

    name: str
    joint: str
    seat_mm: Vec3
    direction: Vec3
    thread: str
    property_class: str
    head: Literal["cap", "hex"]
    washer: str
    length_mm: float
    grip_mm: float
    engagement_mm: float
    tapped_in: str
    tapped_depth_mm: float
    drill_depth_mm: float
    standoff_mm: float
    post_mm: float
    counterbore_mm: float
    clearance_mm: float
    torque_nm: float
    torque_from: str
    slot_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Dowel:
    """A dowel pin across a joint: centre on the joint plane (job frame), unit direction into the second piece."""

    name: str
    joint: str
    at_mm: Vec3
    direction: Vec3
    diameter_mm: float
    depth_first_mm: float
    depth_second_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Seal:
    """A seal of a joint: 'cord' in a groove cut into `piece` along `path` (centreline, joint frame x-y), or 'gasket'.

    length_mm : a cord is cut to, along its own middle, before its ends are joined; 0 for a gasket.
    """

    name: str
    joint: str
    kind: Literal["cord", "gasket"]
    piece: str
    section_mm: float
    groove_width_mm: float
    groove_depth_mm: float
    path: Contour
    material: str
    length_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """Metal taken out of a flange: contour in the flange frame's x-y, depth from the flange's outer face."""

    name: str
    flange: str
    contour: Contour
    depth_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """The whole description. standing : path -> held, assumed, or fact (the sheet's, changed there); a path not listed is
    solved.
    """

    name: str
    banks: tuple[Bank, ...]
    ports: tuple[Port, ...]
    head_holes: tuple[HeadHole, ...]
    runners: tuple[Runner, ...]
    plena: tuple[Plenum, ...]
    throttles: tuple[Throttle, ...]
    pieces: tuple[Piece, ...]
    flanges: tuple[Flange, ...]
    joints: tuple[Joint, ...]
    screws: tuple[Screw, ...]
    dowels: tuple[Dowel, ...]
    seals: tuple[Seal, ...]
    bosses: tuple[Boss, ...] = ()
    pockets: tuple[Pocket, ...] = ()
    spacers: tuple[Spacer, ...] = ()
    body_rows: tuple[BodyRow, ...] = ()
    channels: tuple[Channel, ...] = ()
    standing: Mapping[str, Standing] = field(default_factory=dict[str, Standing])
