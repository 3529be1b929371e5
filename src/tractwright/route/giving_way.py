"""What the tool wants gives way to the room; what the user holds does not."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tractwright.route.contradiction import refusal
from tractwright.route.course.solve import NO_COURSES, QUICK, STAY, WHOLE
from tractwright.route.modest import modest
from tractwright.route.records import Courses, Described, JobFacts
from tractwright.route.stage import coursed, described, described_on, finds_room

_BODY_BORES = 0.7
"""Length of a throttle body over its bore, where nothing says more. Source: shop_judgement."""


Wishes = Mapping[str, float | str]
"""What rules would have: paths and values."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Answer:
    """The description, and the facts it was made from once they had given way."""

    described: Described
    facts: JobFacts


def answered(facts: JobFacts) -> Answer:
    """The first description that meets every demand: as wanted, else with a smaller plenum, else shorter or longer too.

    Only numbers that the tool chose give way. Where nothing does, the nearest job, with the demands that contradict.
    """
    whole = replace(facts, body_mm=_BODY_BORES * facts.wanted.throttle_bore_mm)
    first = coursed(whole, NO_COURSES, QUICK)
    if first.solution.feasible:
        return _answer(first)
    least = modest(whole)
    if finds_room(least):
        found = coursed(least, first.solution.unknowns if first.solution.sound else NO_COURSES, WHOLE)
        if found.fit:
            return _answer(_grown(whole, found))
    else:
        found = replace(first, facts=least)
    refused = refusal(found)
    answer = _answer(refused.nearest)
    if not refused.contradictions:
        return answer
    told = replace(answer.described, feasible=False, contradictions=refused.contradictions)
    return replace(answer, described=told)


def answered_again(before: Answer, wishes: Wishes) -> Answer:
    """The same job with wishes of rules, from where the last answer ended."""
    facts, last = before.facts.with_held(before.facts.held.with_wishes(wishes)), before.described
    found = described(facts, last.unknowns)
    if last.contradictions:
        found = replace(found, feasible=False, contradictions=last.contradictions)
    return Answer(described=found, facts=facts)


def answered_near(before: Answer, facts: JobFacts) -> Answer:
    """A job much like the last one, from where its answer ended; asked afresh where that leads to none."""
    whole = replace(facts, body_mm=_BODY_BORES * facts.wanted.throttle_bore_mm)
    if len(before.facts.pattern.ports) == len(facts.pattern.ports):
        for wanted in (whole.wanted, before.facts.wanted):
            found = coursed(replace(whole, wanted=wanted), before.described.unknowns, STAY)
            if found.solution.feasible:
                return _answer(found)
    return answered(facts)


def _answer(found: Courses) -> Answer:
    return Answer(described=described_on(found), facts=found.facts)


def _grown(whole: JobFacts, found: Courses) -> Courses:
    """With all that was wanted after all, or as much, if courses found for less lead there."""
    for facts in (whole, replace(found.facts, wanted=whole.wanted)):
        better = coursed(facts, found.solution.unknowns, STAY)
        if better.solution.feasible:
            return better
    return found
