"""Asks every rule, puts right what may be put right, and says which demands contradict."""

from dataclasses import dataclass
from functools import cache

from tractwright.air.records import Wanted
from tractwright.check import rules
from tractwright.check.bodies import bodies_of
from tractwright.check.case import Case, fast_tubes
from tractwright.check.finding import BITES_IN_ORDER, Finding, Needs, Rule
from tractwright.design.file import Held
from tractwright.design.paths import value_at
from tractwright.design.pattern import Pattern, Room
from tractwright.job.sheet import JobSheet
from tractwright.registry import modules_in
from tractwright.route.course.records import Shortfall
from tractwright.route.records import Described
from tractwright.route.stage import describe
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Contradiction:
    """Demands that cannot all be met, by their paths, and the best that was found."""

    demands: tuple[str, ...]
    best_found: str


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class PutRight:
    """The best description found and how it came about."""

    described: Described
    changes: tuple[Change, ...]


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


def put_right(sheet: JobSheet, pattern: Pattern, room: Room, wanted: Wanted, held: Held) -> PutRight:
    """The description with every fix of a solved number applied until none is left.

    A fix becomes a wish: the number it names is set and everything else is derived again. A path that a rule has changed
    may be changed again only by moving on in the same direction, so that the search cannot go round in a circle.
    """
    wishes: dict[str, float | str] = {}
    changes: list[Change] = []
    for _ in range(_MOST_ROUNDS):
        described = describe(sheet, pattern, room, wanted, held.with_wishes(wishes))
        fresh = _fresh_changes(held, description_case(sheet, pattern, room, wanted, described), changes)
        if not fresh:
            break
        changes += fresh
        wishes |= {change.path: change.after for change in fresh}
    return PutRight(described=described, changes=tuple(changes))


def contradictions(case: Case) -> tuple[Contradiction, ...]:
    """What cannot be met together: the course demands that fell short with the demands that hold them back."""
    if case.described.feasible:
        return ()
    return tuple(_contradiction(case, shortfall) for shortfall in case.described.shortfalls)


def _contradiction(case: Case, shortfall: Shortfall) -> Contradiction:
    demands = (shortfall.subject, *(name for name, _ in case.described.binding if name != shortfall.subject))
    best = f"{shortfall.demand}: wanted {shortfall.wanted:.4g} {shortfall.unit}, best found {shortfall.reached:.4g}"
    return Contradiction(demands=demands, best_found=best)


def _fresh_changes(held: Held, case: Case, before: list[Change]) -> list[Change]:
    """The fixes that may be applied now: one a path, of numbers nobody holds, never back the way a path came."""
    fresh: dict[str, Change] = {}
    for finding in look_ahead(case):
        fix = finding.fix
        if fix is None or fix.path in fresh or held.is_held(fix.path):
            continue
        if case.design.standing.get(fix.path) == "held":
            continue
        change = Change(
            rule=finding.rule,
            what=fix.what,
            path=fix.path,
            before=value_at(case.design, fix.path),
            after=fix.value,
        )
        if _moves_on(change, [old for old in before if old.path == fix.path]):
            fresh[fix.path] = change
    return list(fresh.values())


def _moves_on(change: Change, earlier: list[Change]) -> bool:
    """Whether a change does something, and goes the way earlier changes of the same path went."""
    if change.before == change.after:
        return False
    if not earlier:
        return True
    if isinstance(change.after, str) or isinstance(earlier[-1].before, str) or isinstance(change.before, str):
        return False
    way = float(earlier[-1].after) - float(earlier[-1].before)
    return (change.after - change.before) * way > 0


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
