"""A small sound manifold, described once: three straight runners off a head, a plenum over them."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from laid_courses import clear_course, solution_of

from tractwright.air.records import Wanted
from tractwright.check.bodies import bodies_of
from tractwright.check.case import Case, fast_tubes
from tractwright.check.finding import Finding
from tractwright.check.stage import all_rules, description_case
from tractwright.design.file import Held
from tractwright.design.paths import KINDS
from tractwright.design.records import Design
from tractwright.geometry.frames import Frame, vec3
from tractwright.job.read import read_sheet
from tractwright.job.sheet import JobSheet
from tractwright.route import stage as route
from tractwright.route.course.records import CourseProblem, CourseSolution
from tractwright.route.course.solve import WHOLE, Effort
from tractwright.route.records import Courses, JobFacts
from tractwright.scan.stage import pattern_and_room
from tractwright.strength.stage import loads

SHEET = """
[job]
name = "invented three"
[engine]
cylinders = 3
bore = "72 mm"
stroke = "80 mm"
wanted_peak = 5000
[pattern]
pitch = "82 mm"
port_shape = "circle"
port_width = "36 mm"
screw_rise = "34 mm"
[runner]
length = "260 mm"
bore = "38 mm"
lip_radius = "7 mm"
[plenum]
volume = "1.6 l"
[throttle]
bore = "52 mm"
[joint]
seal_material = "FKM"
brace = true
"""
WANTED = Wanted(
    length_mm=260.0,
    bore_mm=38.0,
    port_area_mm2=np.pi / 4 * 36.0**2,
    mouth_area_mm2=np.pi / 4 * 38.0**2,
    plenum_volume_l=1.6,
    throttle_bore_mm=52.0,
    lip_radius_mm=7.0,
    why=(),
)


def straight_courses(problem: CourseProblem, near: Sequence[float], effort: Effort) -> CourseSolution:
    """Every runner straight along its port's axis, the plenum square across: what a course search gives where it may."""
    face = problem.faces[0]
    length = problem.length_wanted_mm
    starts = np.array([runner.start_mm for runner in problem.runners])
    middle = starts.mean(axis=0)
    courses = []
    for runner in problem.runners:
        start, axis = np.array(runner.start_mm), np.array(runner.axis)
        along = np.linspace(runner.port_lead_mm, length - runner.mouth_lead_mm, 8)
        courses.append(clear_course(runner.name, start + along[:, None] * axis, float(start[0] - middle[0]), length))
    frame = Frame(origin_mm=vec3(middle + np.array([0.0, 0.0, length - face.behind_mm])))
    return solution_of(courses, face.name, frame, float(np.diff(np.sort(starts[:, 0])).min()))


def described_case(
    folder: Path,
    text: str,
    held: Mapping[str, Any] | None = None,
    solve: Callable[[CourseProblem, Sequence[float], Effort], CourseSolution] = straight_courses,
    wanted: Wanted = WANTED,
) -> Case:
    """The case of a sheet with numbers held, on courses laid without a search: straight ones, or those given."""
    (folder / "job.toml").write_text(text, encoding="utf-8")
    sheet: JobSheet = read_sheet(folder)
    pattern, room = pattern_and_room(sheet, folder)
    facts = JobFacts(sheet=sheet, pattern=pattern, room=room, wanted=wanted, held=Held(values=held or {}))
    chamber = route.first_ending(facts)
    solution = solve(route.course_problem(facts, chamber), (), WHOLE)
    described = route.described_on(Courses(facts=facts, chamber=chamber, solution=solution))
    return description_case(sheet, pattern, room, wanted, described)


def found(case: Case, rule_id: str) -> dict[str, Finding]:
    """What one rule finds, by subject."""
    rule = next(rule for rule in all_rules() if rule.id == rule_id)
    findings = [Finding.of(rule, reading) for reading in rule.judge(case)]
    by_subject = {finding.subject: finding for finding in findings}
    assert len(by_subject) == len(findings), "two readings of one subject"
    return by_subject


def with_value(design: Design, path: str, value: Any) -> Design:
    """The description with one number changed and nothing derived again."""
    kind, _, rest = path.partition(".")
    group = getattr(design, KINDS[kind])
    item = next(item for item in group if rest.startswith(f"{item.name}."))
    field = rest.removeprefix(f"{item.name}.")
    inner, _, outer = field.rpartition(".")
    fresh = replace(getattr(item, inner), **{outer: value}) if inner else value
    changed = replace(item, **{inner or field: fresh})
    return replace(design, **{KINDS[kind]: tuple(changed if other is item else other for other in group)})


def with_values(case: Case, values: Mapping[str, Any]) -> Case:
    """The case with numbers of its description changed; loads, tubes and bodies as they then are."""
    design = case.design
    for path, value in values.items():
        design = with_value(design, path, value)
    tubes = fast_tubes(design)
    return replace(
        case,
        described=replace(case.described, design=design),
        loads=loads(case.sheet, design),
        tubes=tubes,
        bodies=bodies_of(design, tubes),
    )


def with_sheet(case: Case, table: str, **values: Any) -> Case:
    """The case with facts of one table of its sheet changed and nothing derived again."""
    part = getattr(case.sheet, table).model_copy(update=values)
    return replace(case, sheet=case.sheet.model_copy(update={table: part}))
