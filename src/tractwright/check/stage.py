"""Asks every rule, puts right what may be put right, and says which demands contradict."""

from dataclasses import dataclass
from functools import cache
from math import isclose

import numpy as np

from tractwright.air.records import Wanted
from tractwright.check import rules
from tractwright.check.bodies import bodies_of
from tractwright.check.case import Case, fast_tubes
from tractwright.check.finding import BITES_IN_ORDER, Finding, Needs, Rule
from tractwright.design.file import Held
from tractwright.design.paths import value_at
from tractwright.design.pattern import Pattern, Room
from tractwright.design.records import Design
from tractwright.job.sheet import JobSheet
from tractwright.registry import modules_in
from tractwright.route.each_bank import answered, answered_again, answered_near
from tractwright.route.giving_way import Answer
from tractwright.route.layout.standing import is_said_by
from tractwright.route.records import Contradiction, Described, JobFacts
from tractwright.sources import source
from tractwright.strength.stage import loads

_MOST_ROUNDS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A solved number that a rule had changed."""

    rule: str
    what: str
    path: str
    before: float | str
    after: float | str


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class PutRight:
    """The best description found and how it came about."""

    described: Described
    changes: tuple[Change, ...]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Asked:
    """A case with the findings of every rule."""

    case: Case
    findings: tuple[Finding, ...]

    @property
    def score(self) -> tuple[bool, int, int]:
        """What counts against it, heaviest first: courses that do not meet their demands, stops, looks."""
        verdicts = [finding.verdict for finding in self.findings]
        return not self.case.described.feasible, verdicts.count("stop"), verdicts.count("look")


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule, in the order in which it bites. Raises ValueError on a repeated id, SourceError on an unknown source."""
    found: dict[str, Rule] = {}
    for module in modules_in(rules):
        rule: Rule = module.RULE
        if rule.id in found:
            raise ValueError(f"two rules have the id {rule.id}")
        source(rule.source)
        found[rule.id] = rule
    return tuple(sorted(found.values(), key=lambda rule: (BITES_IN_ORDER.index(rule.bites_at), rule.id)))


def look_ahead(case: Case) -> tuple[Finding, ...]:
    """Every finding of every rule whose inputs are there, in the order in which they bite, the worst margin first."""
    ready: set[Needs] = {"description"}
    ready |= {"air"} if case.breathing is not None else set()
    ready |= {"solids"} if case.pieces is not None else set()
    ready |= {"making"} if case.plan is not None else set()
    found = [Finding.of(rule, reading) for rule in all_rules() if rule.needs in ready for reading in rule.judge(case)]
    return tuple(
        sorted(found, key=lambda finding: (BITES_IN_ORDER.index(finding.bites_at), finding.margin, finding.id))
    )


def put_right(facts: JobFacts) -> PutRight:
    """The best description found while fixes of solved numbers are applied, round by round, until none is left."""
    return _rounds(facts, answered(facts))


def put_right_near(before: JobFacts, settled: PutRight, facts: JobFacts) -> PutRight:
    """The same for a job much like one that was put right before: its courses are where the search begins."""
    return _rounds(facts, answered_near(Answer(described=settled.described, facts=before), facts))


def _rounds(facts: JobFacts, answer: Answer) -> PutRight:
    """A fix becomes a wish: the number it names is set and everything else is derived again. What a rule has changed may be
    changed again only by moving on in the same direction, so that the search cannot go round in a circle; a number that
    does not heed its wish is left alone from then on. The fewest stops, then looks, is best; of equals the earlier one.
    """

    def asked(answer: Answer) -> Asked:
        case = description_case(facts.sheet, facts.pattern, facts.room, facts.wanted, answer.described)
        return Asked(case=case, findings=look_ahead(case))

    now = asked(answer)
    changes: tuple[Change, ...] = ()
    best, best_changes = now, changes
    deaf: set[str] = set()
    for _ in range(_MOST_ROUNDS):
        fresh = _fresh_changes(facts.held, now, changes, deaf)
        if not fresh:
            break
        wishes = {change.path: change.after for change in (*changes, *fresh)}
        answer = answered_again(answer, wishes)
        now = asked(answer)
        heeded = [change for change in fresh if _is(number_at(now.case.design, change.path), change.after)]
        deaf |= {change.path for change in fresh if change not in heeded}
        changes = (*changes, *heeded)
        if now.score < best.score:
            best, best_changes = now, changes
    return PutRight(described=best.case.described, changes=best_changes)


def contradictions(case: Case) -> tuple[Contradiction, ...]:
    """What cannot be met together, by the keys of the demands, and the nearest job."""
    return case.described.contradictions


def number_at(design: Design, path: str) -> float | str:
    """The value a path names; of a schedule along a runner the least. Raises KeyError where it names nothing."""
    value = value_at(design, path)
    return value if isinstance(value, str) else float(np.min(np.atleast_1d(np.array(value, dtype=float))[..., -1]))


def is_users(sheet: JobSheet, design: Design, held: Held, path: str) -> bool:
    """Whether a number is the user's word: held in the description, or said by the sheet."""
    if held.is_held(path) or design.standing.get(path) == "held":
        return True
    return is_said_by(sheet, path)


def _fresh_changes(held: Held, now: Asked, before: tuple[Change, ...], deaf: set[str]) -> list[Change]:
    """The fixes that may be applied now: one a path, of numbers that are not the user's, never back the way a path came."""
    design = now.case.design
    fresh: dict[str, Change] = {}
    for finding in now.findings:
        fix = finding.fix
        if fix is None or fix.path in fresh or fix.path in deaf or is_users(now.case.sheet, design, held, fix.path):
            continue
        change = Change(
            rule=finding.rule,
            what=fix.what,
            path=fix.path,
            before=number_at(design, fix.path),
            after=fix.value,
        )
        if _moves_on(change, [old for old in before if old.path == fix.path]):
            fresh[fix.path] = change
    return list(fresh.values())


def _moves_on(change: Change, earlier: list[Change]) -> bool:
    """Whether a change does something, and goes the way earlier changes of the same path went."""
    if _is(change.before, change.after):
        return False
    if not earlier:
        return True
    last = earlier[-1]
    if isinstance(change.after, str) or isinstance(change.before, str):
        return False
    return (change.after - change.before) * (float(last.after) - float(last.before)) > 0


def _is(value: float | str, wanted: float | str) -> bool:
    if isinstance(value, str) or isinstance(wanted, str):
        return value == wanted
    return isclose(value, wanted, rel_tol=1e-9, abs_tol=1e-9)


def description_case(sheet: JobSheet, pattern: Pattern, room: Room, wanted: Wanted, described: Described) -> Case:
    """The case that the description alone can answer."""
    tubes = fast_tubes(described.design)
    return Case(
        sheet=sheet,
        pattern=pattern,
        room=room,
        wanted=wanted,
        described=described,
        loads=loads(sheet, described.design),
        tubes=tubes,
        bodies=bodies_of(described.design, tubes),
    )
