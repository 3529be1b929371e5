"""What the page asks of the tool, in processes beside it: the description at once, then settled; the breathing; the whole."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from tractwright.air.records import Breathing, Wanted
from tractwright.air.stage import quick, result
from tractwright.check.finding import Finding
from tractwright.check.measures import room_along
from tractwright.check.stage import Change, Contradiction, PutRight, description_case
from tractwright.design.file import Held, write_design
from tractwright.design.pattern import Pattern
from tractwright.design.records import Design
from tractwright.errors import Fault, ScanError, SheetError, SolidError
from tractwright.job.assume import Assumed
from tractwright.job.sheet import JobSheet, without_rates
from tractwright.packet.contents import Contents
from tractwright.page.strips import Strip, strips_of
from tractwright.page.worker import Tell
from tractwright.pipeline import described, looked_ahead, read_job, run_job
from tractwright.route.giving_way import Answer, answered, answered_near
from tractwright.shape.records import Mesh
from tractwright.watch import Watch


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Question:
    """A job to look at. held : the numbers held in it, by path; wishes : what rules had changed when it last settled;
    revision : of the desk.
    """

    folder: Path
    held: Mapping[str, Any]
    wishes: Mapping[str, Any]
    revision: int
    settle: bool


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Look:
    """What came of it. faults : what is wrong with the sheet; trouble : a scan that cannot be used, in words. With either
    there is nothing else. settled : whether fixes were applied until none was left.
    """

    revision: int
    settled: bool
    faults: tuple[Fault, ...] = ()
    trouble: str = ""
    facts: JobSheet | None = None
    pattern: Pattern | None = None
    design: Design | None = None
    wanted: Wanted | None = None
    findings: tuple[Finding, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    changes: tuple[Change, ...] = ()
    contradictions: tuple[Contradiction, ...] = ()
    strips: tuple[Strip, ...] = ()
    old_part: Mesh | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """Torque [N m] and trapped filling over the revs. error : how far the filling of the quick model lies from the whole
    simulation's at the most, 0 where it is the whole simulation's.
    """

    revision: int
    rpm: tuple[float, ...]
    torque_nm: tuple[float, ...]
    trapped_ve: tuple[float, ...]
    wanted_rpm: float
    error: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Whole:
    """The whole job done: what the exact pieces gave, and every finding."""

    revision: int
    outcome: str
    findings: tuple[Finding, ...]
    meshes: Mapping[str, Mesh]
    masses_kg: Mapping[str, float]
    price: tuple[float, float] | None
    currency: str
    strips: tuple[Strip, ...]
    packet: Path


class Looker:
    """Looks at descriptions, each from where the last one ended: lives in a process of its own."""

    def __init__(self) -> None:
        self._last: Answer | None = None

    def __call__(self, question: Question, tell: Tell) -> Look:
        """One derivation, or with `settle` with fixes applied; a settled one is written to disk."""
        watch = Watch(lambda name: tell(name) if name else None)
        try:
            if question.settle:
                contents = _settled(question, watch)
                _write(contents)
            else:
                contents, self._last = _glanced(question, self._last, watch)
        except SheetError as fault:
            return Look(revision=question.revision, settled=question.settle, faults=fault.faults)
        except (ScanError, SolidError) as fault:
            return Look(revision=question.revision, settled=question.settle, trouble=str(fault))
        return _look_of(contents, question)


def curve_of(question: tuple[JobSheet, Design, int], tell: Tell) -> Curve | None:
    """Torque and filling by the quick model, while something is being changed; None where no engine is known."""
    facts, design, revision = question
    tell("air, quickly")
    found = quick(facts, design)
    if found is None or facts.engine is None:
        return None
    return Curve(
        revision=revision,
        rpm=found.rpm,
        torque_nm=found.torque_nm,
        trapped_ve=found.trapped_ve,
        wanted_rpm=facts.engine.wanted_peak_rpm,
        error=found.most_error,
    )


def breathe(question: tuple[JobSheet, Design, int], tell: Tell) -> tuple[int, Breathing | None]:
    """How a described manifold breathes, with the revision it was asked for."""
    facts, design, revision = question
    tell("air")
    return revision, result(facts, design)


def make(question: Question, tell: Tell) -> Whole | Look:
    """The whole job, its packet left in the folder; a Look with the faults where the sheet cannot be read."""
    settled = Looker()(replace(question, settle=True), tell)
    if settled.design is None:
        return settled
    contents = run_job(question.folder, Watch(lambda name: tell(name) if name else None))
    pieces = contents.case.pieces or ()
    plan = contents.case.plan
    total = plan.price if plan else ()
    return Whole(
        revision=question.revision,
        outcome=contents.outcome,
        findings=contents.findings,
        meshes={piece.name: piece.mesh for piece in pieces},
        masses_kg={piece.name: piece.mass_kg for piece in pieces},
        price=(sum(line.low for line in total), sum(line.high for line in total)) if total else None,
        currency=plan.currency if plan else "",
        strips=_strips(contents),
        packet=contents.folder,
    )


def _settled(question: Question, watch: Watch) -> Contents:
    """The description with every fix applied, the numbers held on the desk taken in."""
    start = replace(read_job(question.folder, watch), held=Held(values=question.held))
    settled, case = described(start, watch)
    with watch("looking ahead"):
        return looked_ahead(start, settled, case)


def _glanced(question: Question, before: Answer | None, watch: Watch) -> tuple[Contents, Answer]:
    """The description derived once from where the last one ended, with what earlier fixes had set: an answer at once."""
    held = Held(values=question.held).with_wishes(question.wishes)
    start = replace(read_job(question.folder, watch), held=held)
    with watch("air wanted"):
        aim = start.aims()
    with watch("course and description"):
        asked = start.asked(aim)
        found = answered_near(before, asked) if before else answered(asked)
        case = description_case(start.sheet, start.pattern, start.room, aim, found.described)
    with watch("looking ahead"):
        return looked_ahead(start, PutRight(described=found.described, changes=()), case), found


def _look_of(contents: Contents, question: Question) -> Look:
    case = contents.case
    return Look(
        revision=question.revision,
        settled=question.settle,
        facts=without_rates(case.sheet),
        pattern=case.pattern,
        design=case.design,
        wanted=case.wanted,
        findings=contents.findings,
        assumed=contents.assumed,
        changes=contents.changes,
        contradictions=contents.contradictions,
        strips=_strips(contents),
        old_part=case.room.old_part if question.settle else None,
    )


def _strips(contents: Contents) -> tuple[Strip, ...]:
    case = contents.case
    room = {runner.name: room_along(case, runner, case.room) for runner in case.design.runners}
    return strips_of(case, room)


def _write(contents: Contents) -> None:
    """Both copies: the one a person may edit, and the one that tells what they changed."""
    contents.folder.mkdir(parents=True, exist_ok=True)
    for folder in (contents.folder.parent, contents.folder):
        write_design(contents.case.design, folder / "design.toml")
