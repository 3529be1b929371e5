"""What the route stage is given and what it hands over."""

from dataclasses import dataclass, field, replace

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.design.pattern import Pattern, Room
from tractwright.design.records import Design
from tractwright.job.sheet import JobSheet, is_said
from tractwright.own.head_records import OwnHead
from tractwright.route.course.records import CourseSolution, Shortfall
from tractwright.route.layout.chamber import Chamber
from tractwright.route.layout.under_bodies import Bodies

PLENUM = "plenum"
"""Name of the one plenum."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class JobFacts:
    """All that a description is made from. belt_mm : how much further than their skins the runners stand out in their
    middle, kept free for a joint across them. rows : of mouths, one or one a bank. own : the head piece that the user has
    drawn already, None where the tool draws it.
    """

    sheet: JobSheet
    pattern: Pattern
    room: Room
    wanted: Wanted
    held: Held
    belt_mm: float = 0.0
    rows: int = 1
    own: OwnHead | None = None

    @property
    def holds_length(self) -> bool:
        """Whether a length is the user's word: what only the tool wants gives way."""
        held = any(path.startswith("runner.") and path.endswith(".length_mm") for path in self.held.values)
        return held or is_said(self.sheet, "runner.length")

    def with_held(self, held: Held) -> "JobFacts":
        """The same with other numbers held."""
        return replace(self, held=held)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Courses:
    """A job, its chamber or row of throttle bodies before the pitch of its mouths is known, and the best courses found."""

    facts: JobFacts
    chamber: Chamber | Bodies
    solution: CourseSolution

    @property
    def fit(self) -> bool:
        """Whether every demand that does not give way is met: a length that only the tool wants may be missed."""
        return self.solution.feasible or (self.solution.sound and not self.facts.holds_length)


@dataclass(frozen=True, slots=True, kw_only=True)
class Contradiction:
    """Demands that cannot all be met, by the sheet's keys (or the path in design.toml of a number held there), and the
    nearest jobs that can be had, in words.
    """

    demands: tuple[str, ...]
    best_found: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Described:
    """The whole description, and how the search for its courses ended.

    feasible : every demand on the courses that does not give way is met; else `shortfalls` say which is not, `binding` what
    holds the result where it is, heaviest first, and `contradictions` which demands cannot be met together; the design is
    then the nearest job found. unheeded : paths the user holds that the description does not follow. unknowns : where the
    search for the courses ended. starts_tried, evaluations : the work done. by_bank : each bank's own, by its names alone,
    where its plenum is its own; unknowns are then theirs.
    """

    design: Design
    feasible: bool
    shortfalls: tuple[Shortfall, ...]
    binding: tuple[tuple[str, float], ...]
    starts_tried: int
    evaluations: int
    contradictions: tuple[Contradiction, ...] = ()
    unheeded: tuple[str, ...] = ()
    unknowns: tuple[float, ...] = field(default=(), repr=False)
    notes: tuple[str, ...] = ()
    uncut_mm: float = 0.0
    cramped: bool = False
    own: OwnHead | None = field(default=None, repr=False)
    by_bank: tuple["Described", ...] = field(default=(), repr=False)

    def wanting(self, length_mm: float) -> "Described":
        """The same, told that the air wants runners of that length."""
        runners = tuple(replace(runner, length_wanted_mm=length_mm) for runner in self.design.runners)
        return replace(self, design=replace(self.design, runners=runners))
