"""What the search for the runners' courses is given and what it gives back. Job frame, mm."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

from tractwright.design.file import LENGTH_TOLERANCE
from tractwright.design.pattern import Room
from tractwright.geometry.frames import Frame, Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseRunner:
    """One runner as the search sees it.

    start_mm : port centre on the head face; axis : unit, out of the head. face : the CourseFace it ends in.
    port_lead_mm : straight along the axis, from the head face. mouth_lead_mm : straight along the face's z, ending on
    the floor's inner face. Both count in the length. port_half_mm, port_half_least_mm : half of the outline's largest
    and least width; port_wide : direction of the largest width (job frame);
    port_corner_mm : least corner radius, None where it is round (circle, oval). mouth_bore_mm, wall_mm : metal round it.
    """

    name: str
    start_mm: Vec3
    axis: Vec3
    face: str
    port_lead_mm: float
    mouth_lead_mm: float
    port_half_mm: float
    port_half_least_mm: float
    mouth_bore_mm: float
    wall_mm: float
    bank: str
    port_wide: Vec3 = (1.0, 0.0, 0.0)
    port_corner_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stub:
    """Something round that stands out of a plenum's body: a throttle's neck, the throttle body before it.

    start_mm, axis : face frame about the middle of the mouths on the floor's inner face, the mouths at no pitch at all.
    moves : 1 where it stands on the end with the greatest x, -1 on the other, 0 where the pitch does not move it. ours : a
    piece of the part; what is not may stand out of the old part's space.
    """

    start_mm: Vec3
    axis: Vec3
    length_mm: float
    radius_mm: float
    moves: float
    ours: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseFace:
    """A plenum's floor as the search sees it: rows of mouths and the body behind them.

    rows : names in order along the face's x, row by row along its y; rows_apart_mm : from each to the next. least_pitch_mm
    : mouth to mouth; pitch_mm : the same where it is given, as throttle bodies of a bank have it. behind_mm : joint plane
    to the floor's inner face (the floor's thickness); a runner's mouth lead minus it is the mouth flange. body_depth_mm :
    from the joint plane over floor, depth, cover and its screws' heads. body_half_height_mm : along the face's y, either
    side of the mouths, rim counted. body_overhang_mm : along the face's x, beyond the centres of the outermost mouths.
    held_at_mm : middle of the mouths on the floor's inner face; held_direction : into the plenum. None: solved. stubs :
    what stands out of the body and must be in the room too. ours_to_mm : what of the body lies beyond, from the floor's
    inner face, is no piece of the part.
    """

    name: str
    rows: tuple[tuple[str, ...], ...]
    mouth_bore_mm: float
    lip_radius_mm: float
    least_pitch_mm: float
    body_depth_mm: float
    body_half_height_mm: float
    body_overhang_mm: float
    behind_mm: float
    held_at_mm: Vec3 | None = None
    held_direction: Vec3 | None = None
    stubs: tuple[Stub, ...] = ()
    pitch_mm: float | None = None
    ours_to_mm: float = inf
    rows_apart_mm: float = 0.0

    @property
    def runners(self) -> tuple[str, ...]:
        """All of them."""
        return tuple(name for row in self.rows for name in row)

    @property
    def stretch(self) -> float:
        """How far an end of the rows moves along the face's x, for a millimetre of pitch."""
        return (max(len(row) for row in self.rows) - 1) / 2

    def step_of(self, runner: str) -> float:
        """How many pitches a mouth stands from the middle of its row."""
        row = next(row for row in self.rows if runner in row)
        return row.index(runner) - (len(row) - 1) / 2

    def across_mm(self, runner: str) -> float:
        """How far a mouth's row stands from the middle of all."""
        number = next(k for k, row in enumerate(self.rows) if runner in row)
        return (number - (len(self.rows) - 1) / 2) * self.rows_apart_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyWay:
    """A capsule that runners leave free: a screw's head, or the key's way to it."""

    start_mm: Vec3
    direction: Vec3
    length_mm: float
    radius_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseProblem:
    """All that decides the courses.

    length_wanted_mm : head face to the floor's inner face, both leads counted; held_length_mm : others, by runner.
    length_tolerance : share of the length. clearance_mm : skin to the room. gap_mm : skin to skin.
    bend_factor : least bend radius over (half size in the bend's plane + wall). way_out_mm : how the part is drawn off.
    belt_mm : how much further than their skins the runners stand out in their middle: a joint's flange across them.
    """

    runners: tuple[CourseRunner, ...]
    faces: tuple[CourseFace, ...]
    room: Room
    key_ways: tuple[KeyWay, ...]
    length_wanted_mm: float
    clearance_mm: float
    gap_mm: float
    length_tolerance: float = LENGTH_TOLERANCE
    bend_factor: float = 1.3
    held_length_mm: Mapping[str, float] | None = None
    way_out_mm: Vec3 = (0.0, 0.0, 0.0)
    belt_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RunnerCourse:
    """One runner's course.

    poles_mm : eight poles of the curve between the leads. mouth_at_mm : in the face's x-y, from its middle.
    length_mm : leads counted. turn_rad : total turning. room_clearance_mm, neighbour_gap_mm : least, skin to room and
    skin to the next skin (a large number where there is no neighbour).
    """

    name: str
    poles_mm: tuple[Vec3, ...]
    mouth_at_mm: tuple[float, float]
    length_mm: float
    turn_rad: float
    least_bend_radius_mm: float
    room_clearance_mm: float
    neighbour_gap_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """A demand that the best course found does not meet: in plain words, on what (a path), wanted, reached, unit."""

    demand: str
    subject: str
    wanted: float
    reached: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseSolution:
    """The best courses found.

    frames : per face; origin on the joint plane under the floor, midway between the mouths, x along the mouths, z into
    the plenum. pitches_mm : mouth to mouth per face. feasible : every demand met, densely verified; sound : every one but
    the wanted length. binding : of courses that are not feasible the demands that hold them where they are ('room: <name>'
    for a thing kept out), heaviest first, with their share of the pull. unknowns : what the search of a like problem may
    begin with. starts_tried, evaluations : the work done.
    """

    courses: tuple[RunnerCourse, ...]
    frames: Mapping[str, Frame]
    pitches_mm: Mapping[str, float]
    feasible: bool
    sound: bool
    shortfalls: tuple[Shortfall, ...]
    binding: tuple[tuple[str, float], ...]
    starts_tried: int
    evaluations: int
    unknowns: tuple[float, ...] = ()
