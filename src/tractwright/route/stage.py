"""From what is wanted and known to the whole description."""

import numpy as np

from tractwright.air.records import Wanted
from tractwright.cache import kept
from tractwright.design.file import Held
from tractwright.design.pattern import Pattern, Room
from tractwright.design.records import Bank, Design, Joint, Mouth, Piece, Plenum, Port, Runner, Schedule, Standing
from tractwright.geometry.frames import Frame, vec3
from tractwright.geometry.outlines import outline_area
from tractwright.job.sheet import JobSheet
from tractwright.route.course.records import CourseFace, CourseProblem, CourseRunner, CourseSolution
from tractwright.route.course.solve import solve_courses
from tractwright.route.layout.chamber import Chamber, at_pitch, first_chamber
from tractwright.route.layout.head_joint import head_flange, head_gasket, head_joint, head_screws, key_ways
from tractwright.route.layout.places import places
from tractwright.route.layout.plenum_joints import (
    cover_flange,
    cover_screws,
    cover_seal,
    dowels,
    floor_flange,
    mouth_flange,
    rim_screws,
    runner_seal,
)
from tractwright.route.layout.throttle import neck
from tractwright.route.records import Described

_PAST_FLANGE_MM = 2.0
_SCHEDULE_POINTS = 9
PLENUM = "plenum"


def describe(sheet: JobSheet, pattern: Pattern, room: Room, wanted: Wanted, held: Held) -> Described:
    """The whole description of an inline manifold with one plenum. Raises TableError for a size no table holds."""
    chamber = first_chamber(PLENUM, len(pattern.ports), sheet, wanted, held)
    problem = _problem(sheet, pattern, room, wanted, held, chamber)
    solution = kept("courses", (problem,), lambda: solve_courses(problem))
    chamber = at_pitch(chamber, solution.pitches_mm[PLENUM], sheet, wanted, held)
    return Described(
        design=_design(sheet, pattern, wanted, held, chamber, solution),
        feasible=solution.feasible,
        shortfalls=solution.shortfalls,
        binding=solution.binding,
        starts_tried=solution.starts_tried,
        evaluations=solution.evaluations,
    )


def _problem(
    sheet: JobSheet, pattern: Pattern, room: Room, wanted: Wanted, held: Held, chamber: Chamber
) -> CourseProblem:
    names = [f"r{k}" for k in range(1, len(pattern.ports) + 1)]
    banks = {bank.name: bank for bank in pattern.banks}
    runners = tuple(
        _course_runner(name, port, banks[port.bank], sheet, chamber, held)
        for name, port in zip(names, _in_row(pattern), strict=True)
    )
    face = CourseFace(
        name=PLENUM,
        runners=tuple(names),
        mouth_bore_mm=wanted.bore_mm,
        lip_radius_mm=wanted.lip_radius_mm,
        least_pitch_mm=chamber.pitch_mm,
        body_depth_mm=chamber.floor_mm + chamber.depth_mm + chamber.cover_mm,
        body_half_height_mm=chamber.height_mm / 2 + chamber.side_mm,
        body_overhang_mm=(chamber.width_mm - (chamber.mouths - 1) * chamber.pitch_mm) / 2 + chamber.side_mm,
        behind_mm=chamber.floor_mm,
        held_at_mm=sheet.plenum.at_mm,
        held_direction=sheet.plenum.direction,
    )
    screws = tuple(screw for bank in pattern.banks for screw in head_screws(bank, "", pattern, sheet, held))
    lengths = {name: held.number(f"runner.{name}.length_mm", 0.0) for name in names}
    return CourseProblem(
        runners=runners,
        faces=(face,),
        room=room,
        key_ways=key_ways(screws),
        length_wanted_mm=wanted.length_mm,
        clearance_mm=sheet.room.clearance_mm,
        gap_mm=sheet.runner.neighbour_gap_mm,
        held_length_mm={name: length for name, length in lengths.items() if length > 0} or None,
    )


def _course_runner(name: str, port: Port, bank: Bank, sheet: JobSheet, chamber: Chamber, held: Held) -> CourseRunner:
    square = float(np.dot(port.axis, bank.frame.z))
    turn = np.radians(port.turn_deg)
    wide = np.array([np.cos(turn), np.sin(turn), 0.0])
    if port.outline.height_mm > port.outline.width_mm:
        wide = np.array([-wide[1], wide[0], 0.0])
    halves = sorted((port.outline.width_mm / 2, port.outline.height_mm / 2))
    direction = bank.frame.turn(wide)
    return CourseRunner(
        name=name,
        start_mm=vec3(bank.frame.to_world(np.array(port.at_mm))),
        axis=port.axis,
        face=PLENUM,
        port_lead_mm=held.number(f"runner.{name}.port_lead_mm", (sheet.head.flange_mm + _PAST_FLANGE_MM) / square),
        mouth_lead_mm=chamber.floor_mm + chamber.mouth_flange_mm + _PAST_FLANGE_MM,
        port_half_mm=halves[1],
        port_half_least_mm=halves[0],
        mouth_bore_mm=chamber.bore_mm,
        wall_mm=sheet.runner.wall_mm,
        bank=port.bank,
        port_wide=(float(direction[0]), float(direction[1]), float(direction[2])),
    )


def _in_row(pattern: Pattern) -> list[Port]:
    return sorted(pattern.ports, key=lambda port: (port.bank, port.at_mm[0]))


def _design(
    sheet: JobSheet, pattern: Pattern, wanted: Wanted, held: Held, chamber: Chamber, solution: CourseSolution
) -> Design:
    frame = solution.frames[PLENUM]
    bank = pattern.banks[0]
    top = frame.moved((0.0, 0.0, chamber.floor_mm + chamber.depth_mm))
    runner_side = Joint(name="runner", kind="runner", pieces=("head", "plenum"), frame=frame)
    cover_side = Joint(name="cover", kind="cover", pieces=("plenum", "cover"), frame=top)
    end = neck(chamber, frame, pattern, sheet, held)
    ground = end.ground(chamber, frame)
    spots = places(chamber, ground)
    plenum = _plenum(chamber, frame, bank)
    return Design(
        name=sheet.job.name,
        banks=pattern.banks,
        ports=pattern.ports,
        head_holes=pattern.head_holes,
        runners=_runners(sheet, pattern, wanted, held, chamber, solution),
        plena=(plenum,),
        throttles=(end.throttle,),
        pieces=_pieces(sheet),
        flanges=(
            head_flange(bank, "", pattern, sheet, held),
            mouth_flange(chamber, runner_side, spots, sheet, held),
            floor_flange(chamber, runner_side, spots, ground.pad),
            cover_flange(chamber, cover_side, spots),
            *end.flanges,
        ),
        joints=(head_joint(bank, ""), runner_side, cover_side, *end.joints),
        screws=(
            *head_screws(bank, "", pattern, sheet, held),
            *rim_screws(chamber, runner_side, spots, sheet, held),
            *cover_screws(chamber, cover_side, spots, sheet, held),
            *end.screws,
        ),
        dowels=dowels(runner_side, spots),
        seals=(
            head_gasket(bank, "", pattern, sheet),
            runner_seal(chamber, runner_side, sheet, held),
            cover_seal(chamber, cover_side, sheet, held),
            end.seal,
        ),
        standing=_standing(sheet, held, pattern),
    )


def _plenum(chamber: Chamber, frame: Frame, bank: Bank) -> Plenum:
    return Plenum(
        name=chamber.name,
        bank=bank.name,
        frame=frame,
        centre_mm=(0.0, 0.0),
        width_mm=chamber.width_mm,
        height_mm=chamber.height_mm,
        corner_radius_mm=chamber.corner_mm,
        depth_mm=chamber.depth_mm,
        floor_mm=chamber.floor_mm,
        wall_mm=chamber.wall_mm,
        volume_l=chamber.inside_mm3 / 1e6,
    )


def _runners(
    sheet: JobSheet, pattern: Pattern, wanted: Wanted, held: Held, chamber: Chamber, solution: CourseSolution
) -> tuple[Runner, ...]:
    courses = {course.name: course for course in solution.courses}
    found: list[Runner] = []
    for number, port in enumerate(_in_row(pattern), start=1):
        name = f"r{number}"
        course, path = courses[name], f"runner.{name}"
        given = _course_runner(name, port, pattern.banks[0], sheet, chamber, held)
        lip = held.number(f"{path}.mouth.lip_radius_mm", wanted.lip_radius_mm)
        first, last = given.port_lead_mm / course.length_mm, 1.0 - given.mouth_lead_mm / course.length_mm
        wall = held.number(f"{path}.wall_mm", sheet.runner.wall_mm)
        found.append(
            Runner(
                name=name,
                bank=port.bank,
                ports=(port.name,),
                mouth=Mouth(
                    plenum=PLENUM, at_mm=(course.mouth_offset_mm, 0.0), bore_mm=wanted.bore_mm, lip_radius_mm=lip
                ),
                poles_mm=course.poles_mm,
                port_lead_mm=given.port_lead_mm,
                mouth_lead_mm=given.mouth_lead_mm,
                length_mm=course.length_mm,
                length_wanted_mm=held.number(f"{path}.length_mm", wanted.length_mm),
                area_mm2=_areas(outline_area(port.outline), np.pi / 4 * wanted.bore_mm**2, first, last),
                wall_mm=((0.0, wall), (1.0, wall)),
                port_blend_mm=held.number(f"{path}.port_blend_mm", sheet.runner.root_blend_mm),
                mouth_blend_mm=held.number(f"{path}.mouth_blend_mm", sheet.runner.root_blend_mm),
            )
        )
    return tuple(found)


def _areas(port_mm2: float, mouth_mm2: float, first: float, last: float) -> Schedule:
    """The area along a runner: the port's through its lead, the mouth's through its own, a smooth step between."""
    share = np.linspace(0.0, 1.0, _SCHEDULE_POINTS)
    smooth = share * share * (3.0 - 2.0 * share)
    between = [
        (float(first + (last - first) * s), float(port_mm2 + (mouth_mm2 - port_mm2) * a))
        for s, a in zip(share, smooth, strict=True)
    ]
    return ((0.0, port_mm2), *between, (1.0, mouth_mm2))


def _pieces(sheet: JobSheet) -> tuple[Piece, ...]:
    kinds = ("head", "plenum", "cover", "neck")
    return tuple(Piece(name=kind, kind=kind, material=sheet.shop.material) for kind in kinds)


def _standing(sheet: JobSheet, held: Held, pattern: Pattern) -> dict[str, Standing]:
    """Which numbers are the user's word: held in the description, or facts of the sheet."""
    standing: dict[str, Standing] = dict.fromkeys(held.held_paths(), "held")
    for number in range(1, len(pattern.ports) + 1):
        if sheet.runner.length_mm is not None:
            standing[f"runner.r{number}.length_mm"] = "held"
        if sheet.runner.lip_radius_mm is not None:
            standing[f"runner.r{number}.mouth.lip_radius_mm"] = "held"
    return standing
