"""From what is wanted and known to the whole description."""

from dataclasses import replace
from itertools import pairwise
from math import dist

import numpy as np

from tractwright.air.records import Wanted
from tractwright.cache import kept
from tractwright.design.file import Held, unheeded
from tractwright.design.pattern import Pattern, Room
from tractwright.design.records import Design, Piece, PieceKind, Runner
from tractwright.geometry.frames import Vec3, vec3
from tractwright.job.sheet import JobSheet
from tractwright.route.course import placing
from tractwright.route.course.lifting import OFF_SCREWS_MM, OFF_STUDS_MM, way_off
from tractwright.route.course.packed import pack_problem
from tractwright.route.course.records import CourseProblem, CourseRunner, CourseSolution
from tractwright.route.course.solve import NO_COURSES, QUICK, STAY, WHOLE, Effort, solve_courses
from tractwright.route.layout.chamber import Chamber, at_pitch, first_chamber
from tractwright.route.layout.ending import Ending
from tractwright.route.layout.fitting_out import fitted_out
from tractwright.route.layout.head_joint import (
    head_channels,
    head_flange,
    head_gasket,
    head_joint,
    head_screws,
    head_thickness,
    key_ways,
    port_blends,
    spacers_of,
    suffix_of,
)
from tractwright.route.layout.passages import course_runner, ends_of, in_row, runner
from tractwright.route.layout.standing import standing
from tractwright.route.layout.under_bodies import Bodies, bodies_ending, bodies_face, first_bodies
from tractwright.route.layout.under_plenum import plenum_ending, plenum_face
from tractwright.route.records import PLENUM, Courses, Described, JobFacts
from tractwright.route.split.choose import split_where_needed

_LONGER = 1.1  # a plenum longer by less is no other plenum (judgement)
_BEND_FACTOR = 1.38  # the course takes sections for ellipses; the rule, at 1.3, measures the true skin


def describe(sheet: JobSheet, pattern: Pattern, room: Room, wanted: Wanted, held: Held) -> Described:
    """The whole description of a manifold with one plenum. Raises TableError for a size no table holds."""
    return described(JobFacts(sheet=sheet, pattern=pattern, room=room, wanted=wanted, held=held))


def described(facts: JobFacts, near: tuple[float, ...] = NO_COURSES, effort: Effort = WHOLE) -> Described:
    """The whole description of a job. near : where the search for a like job ended. Raises TableError."""
    return described_on(coursed(facts, near, effort))


def coursed(facts: JobFacts, near: tuple[float, ...], effort: Effort) -> Courses:
    """The best courses found for a job: to a plenum as short as its mouths allow, and where none of those will do, to one as
    long as the row of ports, which is the shallower for it. Raises TableError.
    """
    found = [_coursed(facts, first_ending(facts), near, effort)]
    if not found[0].solution.feasible and (longer := _longer_chamber(facts)) is not None:
        found.append(_coursed(facts, longer, near, STAY if effort == STAY else QUICK))
    return min(found, key=missed)


def coursed_larger(facts: JobFacts, near: tuple[float, ...]) -> Courses:
    """From courses to a lesser plenum: the length of the row is used before depth is. Raises TableError."""
    longer = _longer_chamber(facts)
    if longer is not None and (found := _coursed(facts, longer, near, STAY)).solution.feasible:
        return found
    return _coursed(facts, first_ending(facts), near, STAY)


def _coursed(facts: JobFacts, chamber: Chamber | Bodies, near: tuple[float, ...], effort: Effort) -> Courses:
    problem = course_problem(facts, chamber)
    solution = kept("courses", (problem, near, effort), lambda: solve_courses(problem, near, effort))
    return Courses(facts=facts, chamber=chamber, solution=solution)


def missed(found: Courses) -> tuple[bool, bool, float]:
    """What counts against courses: demands not met, even those that do not give way, and the length missed."""
    missed = [abs(course.length_mm - found.facts.wanted.length_mm) for course in found.solution.courses]
    return not found.solution.feasible, not found.solution.sound, max(missed)


def finds_room(facts: JobFacts) -> bool:
    """Whether a plenum finds room anywhere within reach; if not, no search for courses can end well."""
    chambers = (first_ending(facts), _longer_chamber(facts))
    return any(placing.finds_room(pack_problem(course_problem(facts, item))) for item in chambers if item is not None)


def described_on(found: Courses) -> Described:
    """The whole description on courses that are known. Raises TableError."""
    facts, solution = found.facts, found.solution
    sheet, wanted, held = facts.sheet, facts.wanted, facts.held
    chamber = _spread(found.chamber, solution.pitches_mm[found.chamber.name], facts)
    whole = laid_out(sheet, facts.pattern, wanted, held, chamber, solution)
    design, choice = split_where_needed(whole, facts.room, sheet, held)
    design = fitted_out(design, sheet, held)
    design = replace(design, standing=standing(design, sheet, held))
    return Described(
        design=design,
        feasible=found.fit,
        shortfalls=solution.shortfalls,
        binding=solution.binding,
        starts_tried=solution.starts_tried,
        evaluations=solution.evaluations,
        unheeded=unheeded(held, design),
        unknowns=solution.unknowns,
        notes=(choice.why,) if choice.why else (),
        uncut_mm=choice.left_mm,
        cramped=choice.cramped,
    )


def first_ending(facts: JobFacts) -> Chamber | Bodies:
    """What the runners of a job end in, its mouths as near to each other as they may be. Raises TableError."""
    mouths = len(facts.pattern.ports)
    if facts.sheet.throttle.on_mouths:
        return first_bodies(mouths, facts.sheet, facts.wanted, facts.held)
    return first_chamber(PLENUM, mouths, facts.sheet, facts.wanted, facts.held, facts.rows)


def _spread(chamber: Chamber | Bodies, pitch_mm: float, facts: JobFacts) -> Chamber | Bodies:
    """With its mouths at that pitch."""
    if isinstance(chamber, Bodies):
        return replace(chamber, pitch_mm=pitch_mm)
    return at_pitch(chamber, pitch_mm, facts.sheet, facts.wanted, facts.held)


def _longer_chamber(facts: JobFacts) -> Chamber | None:
    """With the mouths as far apart as the ports; None where the least pitch is about that already, and where it is not ours
    to choose: throttle bodies are no larger for standing closer.
    """
    least = first_ending(facts)
    if isinstance(least, Bodies) or len(facts.pattern.ports) < 2:
        return None
    pitch = _port_pitch(facts.pattern, facts.rows)
    if pitch < _LONGER * least.pitch_mm:
        return None
    return at_pitch(least, pitch, facts.sheet, facts.wanted, facts.held)


def spreads(facts: JobFacts) -> bool:
    """Whether a row of mouths is longer than the row of ports, even as near as mouths may be: runners lean out to it."""
    return first_ending(facts).pitch_mm > _port_pitch(facts.pattern, facts.rows)


def _port_pitch(pattern: Pattern, rows: int) -> float:
    """From port to port along the row [mm]; where several banks share a row along x, taken together."""
    ports = in_row(pattern)
    if rows == len(pattern.banks):
        beside = [(a, b) for a, b in pairwise(ports) if a.bank == b.bank]
        return float(np.mean([dist(a.at_mm, b.at_mm) for a, b in beside])) if beside else 0.0
    frames = {bank.name: bank.frame for bank in pattern.banks}
    along = [float(frames[port.bank].to_world((*port.at_mm, 0.0))[0]) for port in ports]
    return (max(along) - min(along)) / (len(along) - 1)


def course_problem(facts: JobFacts, chamber: Chamber | Bodies) -> CourseProblem:
    """What the search for the courses is asked."""
    sheet, pattern, wanted, held = facts.sheet, facts.pattern, facts.wanted, facts.held
    runners = tuple(
        course_runner(f"r{k}", port, pattern, sheet, wanted, held, chamber)
        for k, port in enumerate(in_row(pattern), start=1)
    )
    names = [runner.name for runner in runners]
    rows = _rows_of_mouths(runners, facts.rows)
    if isinstance(chamber, Bodies):
        face = bodies_face(chamber, rows[0], sheet, held)
    else:
        face = plenum_face(chamber, rows, pattern, sheet, held)
    screws = tuple(
        screw for bank in pattern.banks for screw in head_screws(bank, suffix_of(bank, pattern), pattern, sheet, held)
    )
    channels = [
        (item, bank.frame, head_thickness(bank, suffix_of(bank, pattern), pattern, sheet, held))
        for bank in pattern.banks
        for item in head_channels(bank, suffix_of(bank, pattern), pattern, sheet, held)
    ]
    lengths = {name: held.number(f"runner.{name}.length_mm", 0.0) for name in names}
    return CourseProblem(
        runners=runners,
        faces=(face,),
        room=facts.room,
        key_ways=key_ways(screws, channels),
        length_wanted_mm=wanted.length_mm,
        clearance_mm=sheet.room.clearance_mm,
        gap_mm=sheet.runner.neighbour_gap_mm,
        bend_factor=_BEND_FACTOR,
        held_length_mm={name: length for name, length in lengths.items() if length > 0} or None,
        way_out_mm=_way_out(pattern),
        belt_mm=facts.belt_mm,
    )


def _way_out(pattern: Pattern) -> Vec3:
    """How far, and which way, the part is drawn off: straight off its head, between the ways off of two."""
    way = OFF_STUDS_MM if any(hole.stud for hole in pattern.head_holes) else OFF_SCREWS_MM
    return vec3(way_off(pattern.banks) * way)


def _rows_of_mouths(runners: tuple[CourseRunner, ...], rows: int) -> tuple[tuple[str, ...], ...]:
    """The runners in the order of their mouths, as their ports stand along the row: the banks' by turns in one row, or each
    bank's in its own, on the side where its head is.
    """
    banks = tuple(dict.fromkeys(item.bank for item in runners))
    if len(banks) == 1:
        return (tuple(item.name for item in runners),)
    by_place = sorted(runners, key=lambda item: (item.start_mm[0], item.bank))
    if rows == 1:
        return (tuple(item.name for item in by_place),)
    up = np.cross(np.sum([item.axis for item in runners], axis=0), [1.0, 0.0, 0.0])
    sides = {bank: float(np.mean([up @ item.start_mm for item in runners if item.bank == bank])) for bank in banks}
    return tuple(
        tuple(item.name for item in by_place if item.bank == bank)
        for bank in sorted(banks, key=lambda bank: sides[bank])
    )


def laid_out(
    sheet: JobSheet, pattern: Pattern, wanted: Wanted, held: Held, chamber: Chamber | Bodies, solution: CourseSolution
) -> Design:
    """The description round courses that are known: flanges, joints, screws, seals, neck. Raises TableError."""
    named = [(bank, suffix_of(bank, pattern)) for bank in pattern.banks]
    end = _ending(sheet, pattern, held, chamber, solution)
    on_heads = tuple(head_flange(bank, suffix, pattern, sheet, held) for bank, suffix in named)
    return Design(
        name=sheet.job.name,
        banks=pattern.banks,
        ports=pattern.ports,
        head_holes=pattern.head_holes,
        runners=_runners(sheet, pattern, wanted, held, chamber, solution),
        plena=end.plena,
        body_rows=end.body_rows,
        throttles=end.throttles,
        pieces=_pieces((("head", "head"), *end.pieces), sheet, held),
        flanges=(*on_heads, *end.flanges),
        joints=(*(head_joint(bank, suffix) for bank, suffix in named), *end.joints),
        screws=(
            *(screw for bank, suffix in named for screw in head_screws(bank, suffix, pattern, sheet, held)),
            *end.screws,
        ),
        dowels=end.dowels,
        seals=(*(head_gasket(bank, suffix, pattern, sheet, held) for bank, suffix in named), *end.seals),
        spacers=spacers_of(on_heads, sheet),
        channels=tuple(item for bank, suffix in named for item in head_channels(bank, suffix, pattern, sheet, held)),
    )


def _ending(
    sheet: JobSheet, pattern: Pattern, held: Held, chamber: Chamber | Bodies, solution: CourseSolution
) -> Ending:
    frame = solution.frames[chamber.name]
    if isinstance(chamber, Chamber):
        return plenum_ending(chamber, frame, pattern, sheet, held)
    in_order = sorted(solution.courses, key=lambda course: course.mouth_at_mm)
    return bodies_ending(chamber, frame, tuple(course.name for course in in_order), pattern, sheet, held)


def _runners(
    sheet: JobSheet, pattern: Pattern, wanted: Wanted, held: Held, chamber: Chamber | Bodies, solution: CourseSolution
) -> tuple[Runner, ...]:
    courses = {course.name: course for course in solution.courses}
    roots = {
        name: root
        for bank in pattern.banks
        for name, root in port_blends(bank, suffix_of(bank, pattern), pattern, sheet, held).items()
    }
    found: list[Runner] = []
    for number, port in enumerate(in_row(pattern), start=1):
        given = course_runner(f"r{number}", port, pattern, sheet, wanted, held, chamber)
        ends = ends_of(port, roots[port.name], pattern, chamber, sheet)
        found.append(runner(given, courses[given.name], ends, sheet, wanted, held))
    return tuple(found)


def _pieces(named: tuple[tuple[str, PieceKind], ...], sheet: JobSheet, held: Held) -> tuple[Piece, ...]:
    return tuple(
        Piece(name=name, kind=kind, material=str(held.get(f"piece.{name}.material", sheet.shop.material)))
        for name, kind in named
    )
