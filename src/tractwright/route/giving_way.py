"""What the tool wants gives way to the room; what the user holds does not."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tractwright.route.contradiction import refusal
from tractwright.route.course.solve import NO_COURSES, QUICK, STAY, WHOLE
from tractwright.route.head_ground import on_the_head
from tractwright.route.modest import modest
from tractwright.route.onto.stage import described_onto
from tractwright.route.records import Contradiction, Courses, Described, JobFacts
from tractwright.route.stage import coursed, coursed_larger, described, described_on, finds_room, missed, spreads

_BELT_MM = 21.0
"""How far a joint's flange with its lugs stands out of the skins. Source: shop_judgement."""
_LEAST_SHARE = 0.8
"""Runners are not made shorter than this share for a joint across them. Source: shop_judgement."""
Wishes = Mapping[str, float | str]
"""What rules would have: paths and values."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Answer:
    """The description, and the facts it was made from once they had given way. by_bank : the answers of each bank's own job,
    where its plenum is its own.
    """

    described: Described
    facts: JobFacts
    by_bank: tuple["Answer", ...] = ()


def answered(facts: JobFacts) -> Answer:
    """The first description that meets every demand: as wanted, else with a smaller plenum, else shorter or longer too; over
    two heads with the mouths in one row, else in a row a head.

    Only numbers that the tool chose give way. Where nothing does, the nearest job, with the demands that contradict. The
    courses of a head piece drawn already are not searched for.
    """
    if facts.own is not None:
        return Answer(described=described_onto(facts, facts.own), facts=facts)
    firsts: list[Courses] = []
    for way in _ways(facts):
        firsts.append(coursed(way, NO_COURSES, QUICK))
        if firsts[-1].solution.feasible:
            return _answer(firsts[-1])
    modestly: list[Courses] = []
    for first in firsts:
        modestly.append(_modestly(first))
        if modestly[-1].fit:
            return _answer(_grown(first.facts, modestly[-1]))
    refused = refusal(min(modestly, key=missed))
    answer = _answer(refused.nearest)
    if not refused.contradictions:
        return answer
    more = _not_named(answer.described.contradictions, refused.contradictions)
    told = replace(answer.described, feasible=False, contradictions=(*refused.contradictions, *more))
    return replace(answer, described=told)


def _ways(facts: JobFacts) -> tuple[JobFacts, ...]:
    """The ways to lay out the mouths, the better first: one row; a row a head as well, where there are two, alike, under a
    plenum. A row that is longer than the ports' makes runners lean along the engine, and the plenum long.
    """
    banks = {bank.name: [port.bank for port in facts.pattern.ports].count(bank.name) for bank in facts.pattern.banks}
    if len(banks) < 2 or len(set(banks.values())) > 1 or facts.sheet.throttle.on_mouths:
        return (facts,)
    several = replace(facts, rows=len(banks))
    return (several, facts) if spreads(facts) else (facts, several)


def _modestly(first: Courses) -> Courses:
    """The best courses to the least plenum that will do, from where the first search ended."""
    least = modest(first.facts)
    return coursed(least, first.solution.unknowns, WHOLE) if finds_room(least) else replace(first, facts=least)


def answered_again(before: Answer, wishes: Wishes) -> Answer:
    """The same job with wishes of rules, from where the last answer ended."""
    facts, last = before.facts.with_held(before.facts.held.with_wishes(wishes)), before.described
    if facts.own is not None:
        return Answer(described=described_onto(facts, facts.own), facts=facts)
    found = described(facts, last.unknowns)
    if last.contradictions:
        found = replace(found, feasible=False, contradictions=last.contradictions)
    return Answer(described=found, facts=facts)


def answered_near(before: Answer, facts: JobFacts) -> Answer:
    """A job much like the last one, from where its answer ended; asked afresh where that leads to none."""
    if facts.own is None and len(before.facts.pattern.ports) == len(facts.pattern.ports):
        for wanted in (facts.wanted, before.facts.wanted):
            found = coursed(replace(facts, wanted=wanted, rows=before.facts.rows), before.described.unknowns, STAY)
            if found.solution.feasible:
                return _answer(found)
    return answered(facts)


def _not_named(more: tuple[Contradiction, ...], told: tuple[Contradiction, ...]) -> tuple[Contradiction, ...]:
    """Those whose demands no other contradiction names."""
    named = {key for item in told for key in item.demands}
    return tuple(item for item in more if named.isdisjoint(item.demands))


def _answer(found: Courses) -> Answer:
    """The description on those courses. What stands where the head's pattern puts metal contradicts it on any."""
    answer = _best_described(found)
    barred = on_the_head(answer.described.design, answer.facts)
    if not barred:
        return answer
    return replace(answer, described=replace(answer.described, feasible=False, contradictions=barred))


def _best_described(found: Courses) -> Answer:
    """On those courses, or on others that leave room for the joint its runners ask for."""
    answer = Answer(described=described_on(found), facts=found.facts)
    if answer.described.cramped and found.fit and found.facts.belt_mm <= 0.0:
        roomier = coursed(replace(found.facts, belt_mm=_BELT_MM), found.solution.unknowns, QUICK)
        if roomier.fit and _length(roomier) >= _LEAST_SHARE * _length(found):
            better = described_on(roomier)
            if better.uncut_mm < answer.described.uncut_mm:
                return Answer(described=better, facts=roomier.facts)
    return answer


def _length(found: Courses) -> float:
    return min(course.length_mm for course in found.solution.courses)


def _grown(facts: JobFacts, found: Courses) -> Courses:
    """With all that was wanted after all, if courses found for less lead there. Where less misses a length already, more does
    not reach it.
    """
    if not found.solution.feasible:
        return found
    better = coursed_larger(facts, found.solution.unknowns)
    return better if better.solution.feasible else found
