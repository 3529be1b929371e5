"""Why a job cannot be made: demands dropped one at a time, and the nearest job that can be had."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce

from tractwright.route.course.solve import NO_COURSES, NOT_AT_ALL, STAY, Effort, Plan
from tractwright.route.demands import dropped, eased, is_thing, key_of_thing, lengths, room_and_pose, sizes
from tractwright.route.modest import modest
from tractwright.route.nearest import as_found, farther, out_of_the_way
from tractwright.route.records import Contradiction, Courses, JobFacts
from tractwright.route.stage import coursed, finds_room

_SEARCH = Effort(
    plans=(Plan(batches=2, size=6, finished=2), Plan(batches=1, size=4, finished=1)),
    evaluations=600,
    shorter=(),
    stretches=4,
    aslant=NOT_AT_ALL,
)
_ANY_LENGTH = replace(_SEARCH, shorter=(0.6,))
_MOST_TRIALS = 8
"""Demands dropped one at a time."""
_FARTHEST_MM, _HALVINGS, _CLOSE = 320.0, 7, 0.12
"""A thing of the room is moved off by at most so much; the least move is found to this share of it."""
_HARDLY_MM, _HARDLY = 15.0, 0.03
"""A thing of the room moved less, a length given up by a lesser share."""
_MUCH_SHORTER = 0.4
"""A share of the length given up beyond this is farther from what was asked than a thing of the room moved."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Refusal:
    """What contradicts, and the nearest job found."""

    nearest: Courses
    contradictions: tuple[Contradiction, ...]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Way:
    """A way out: the demand given up and the job then; how far a thing of the room is moved off, 0 for others; in words;
    how far it is from what was asked.
    """

    key: str
    courses: Courses
    moved_mm: float
    words: str
    far: float

    @property
    def hardly(self) -> bool:
        """Whether so little is given up that it may be none at all."""
        return 0.0 < self.moved_mm < _HARDLY_MM or self.far < _HARDLY - _MUCH_SHORTER


def refusal(failed: Courses) -> Refusal:
    """The demands any one of which, given up, lets all others be met, and the nearest job.

    failed : the job at its most modest, with the best courses found for it, which do not meet it. Where a demand has
    hardly to give way, courses found so may lead back to the whole job: then nothing contradicts. Where no demand alone
    frees the job, several contradictions, each of which must be resolved.
    """
    keys = _candidates(failed)
    ways = _ways(failed.facts, failed, keys)
    for way in ways:
        met = _tried(failed.facts, way.courses, STAY) if way.hardly else None
        if met is not None:
            return Refusal(nearest=met, contradictions=())
    if ways:
        told = _told(ways, "That is described here." if len(ways) == 1 else "The first of these is described here.")
        return Refusal(nearest=ways[0].courses, contradictions=(told,))
    together = _together(failed, keys)
    if together is None:
        return _stuck(failed, keys)
    return _several(failed, *together, keys)


def _candidates(failed: Courses) -> list[str]:
    """Lengths, then things of the room and the plenum's pose, what holds the courses most first, then sizes."""
    facts, pull = failed.facts, dict[str, float]()
    for name, share in failed.solution.binding:
        key = key_of_thing(facts, name.partition(": ")[2])
        pull[key] = pull.get(key, 0.0) + share
    things = sorted(room_and_pose(facts), key=lambda key: -pull.get(key, 0.0))
    return [*lengths(facts), *things[:_MOST_TRIALS], *sizes(facts)[:_MOST_TRIALS]]


def _ways(facts: JobFacts, failed: Courses, keys: Sequence[str]) -> list[_Way]:
    """The ways out of a job by giving up one demand, the nearest first; sizes are asked where nothing else is one."""
    small = set(sizes(facts))
    found = [way for key in keys if key not in small and (way := _way(facts, failed, key)) is not None]
    if not found:
        found = [way for key in keys if key in small and (way := _way(facts, failed, key)) is not None]
    return sorted(found, key=lambda way: way.far)


def _way(facts: JobFacts, failed: Courses, key: str) -> _Way | None:
    """The way out without a demand, if that is one; a thing of the room is then only moved off as far as it must be."""
    free = _tried(dropped(facts, key), failed)
    return None if free is None else _given_up(facts, key, free)


def _given_up(facts: JobFacts, key: str, free: Courses) -> _Way:
    """A demand given up, where courses are known that do without it."""
    if is_thing(key):
        return _moved_off(facts, key, free)
    words, share = as_found(key, facts, free)
    return _Way(key=key, courses=free, moved_mm=0.0, words=words, far=share - _MUCH_SHORTER)


def _tried(facts: JobFacts, near: Courses, effort: Effort | None = None) -> Courses | None:
    """Courses that meet a job's demands, None where none are found."""
    asked = modest(facts)
    if effort is None and not finds_room(asked):
        return None
    effort = effort or (_SEARCH if asked.holds_length else _ANY_LENGTH)
    found = coursed(asked, near.solution.unknowns if near.solution.sound else NO_COURSES, effort)
    return found if found.fit else None


def _moved_off(facts: JobFacts, key: str, free: Courses) -> _Way:
    """The least move found of a thing of the room: halved again and again, each time from the last courses that did."""
    near, low, high = _tried(eased(facts, key, _FARTHEST_MM), free), 0.0, _FARTHEST_MM
    if near is None:
        return _Way(key=key, courses=free, moved_mm=high, words=out_of_the_way(key), far=2.0 * _FARTHEST_MM / 100.0)
    for _ in range(_HALVINGS):
        if high - low <= _CLOSE * high:
            break
        middle = (low + high) / 2.0
        tried = _tried(eased(facts, key, middle), near, STAY)
        low, high, near = (low, middle, tried) if tried else (middle, high, near)
    return _Way(key=key, courses=near, moved_mm=high, words=farther(key, facts, high), far=high / 100.0)


def _told(ways: Sequence[_Way], described: str) -> Contradiction:
    several = (
        "Without it all else can be met." if len(ways) == 1 else "Any one of them given up lets the others be met."
    )
    words = f"{several} Nearest: {'; or '.join(way.words for way in ways)}. {described}"
    return Contradiction(demands=tuple(way.key for way in ways), best_found=words)


def _together(failed: Courses, keys: Sequence[str]) -> tuple[list[str], Courses] | None:
    """As few demands as were found that free the job given up together, and the job without them; None if not even all."""
    free = _tried(reduce(dropped, keys, failed.facts), failed)
    if free is None:
        return None
    given_up = list(keys)
    for key in (*sizes(failed.facts), *lengths(failed.facts), *reversed(keys)):
        fewer = [other for other in given_up if other != key]
        tried = _tried(reduce(dropped, fewer, failed.facts), free) if len(fewer) < len(given_up) else None
        if tried is not None:
            given_up, free = fewer, tried
    return given_up, free


def _several(failed: Courses, together: Sequence[str], free: Courses, keys: Sequence[str]) -> Refusal:
    """A contradiction for each of the demands that must go together, with what might go in its place. The courses without
    them are known: where no search leads to courses for one of them, it is named all the same.
    """
    facts, nearest = failed.facts, free
    contradictions: list[Contradiction] = []
    text = f"One of {len(together)} contradictions, and each must be resolved."
    for place, key in enumerate(together):
        rest = reduce(dropped, together[place + 1 :], facts)
        instead = [other for other in keys if other not in together]
        ways = _ways(rest, nearest, [key, *instead]) or [_given_up(rest, key, nearest)]
        contradictions.append(_told(ways, text))
        facts, nearest = _given_way(facts, ways[0]), ways[0].courses
    return Refusal(nearest=nearest, contradictions=tuple(contradictions))


def _given_way(facts: JobFacts, way: _Way) -> JobFacts:
    return eased(facts, way.key, way.moved_mm) if is_thing(way.key) else dropped(facts, way.key)


def _stuck(failed: Courses, keys: Sequence[str]) -> Refusal:
    missed = "; ".join(
        f"{item.demand}: wanted {item.wanted:.4g} {item.unit}, best found {item.reached:.4g}"
        for item in failed.solution.shortfalls
    )
    words = f"No manifold was found, nor one without {', '.join(keys) or 'any demand'}. {missed}."
    return Refusal(nearest=failed, contradictions=(Contradiction(demands=(), best_found=words),))
