"""The least sequence of set-ups: what locates and holds, what that needs, what it makes. Nothing is held by what is not cut."""

import heapq
from collections.abc import Iterable
from dataclasses import dataclass, field

from tractwright.geometry.frames import Vec3
from tractwright.make.feature import Feature

RELEASE_MIN = 8.0
"""To let the part go and hold it again where it stands, its datum taken anew. Judgement, no source."""
_MOST_STATES = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A way to hold a piece: needs these features, forbids those (they would be gripped or cut away), can make these.

    direction : up, from the table to the spindle. floor : out of plate or jaws, which end at level_mm along it. mill : its
    name. face : the joint face it rests on, '' for none. screws : how many hold it, of which thread; 0 in a vice. vices :
    how many hold it. free_holes : screw holes of the face that no screw takes. jaw_flats_mm : how long what jaws close on
    is flat and parallel; None where screws hold. corners_mm : of the block, for the mill's travels. high_mm : of the work
    over what holds it; arm_mm : how far the clamps bear against its tipping, the weaker way. level_way : where a right-angle
    head stands in the spindle, which way its tool looks out of the work; it then cuts nothing else. jaws_way : across the
    jaws, None where there are none. zero_mm : where its zero lies [job frame].
    """

    name: str
    direction: Vec3
    floor: Vec3
    holds_by: str
    needs: frozenset[str]
    forbids: frozenset[str]
    makes: frozenset[str]
    cost_min: float
    level_mm: float = 0.0
    mill: str = ""
    machine: str = ""
    face: str = ""
    screws: int = 0
    screw: str = ""
    jaw_flats_mm: float | None = None
    corners_mm: tuple[Vec3, ...] = ()
    vices: int = 0
    free_holes: int = 0
    high_mm: float = 0.0
    arm_mm: float = 0.0
    level_way: Vec3 | None = None
    jaws_way: Vec3 | None = None
    zero_mm: Vec3 = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sequence:
    """Holds in order with what each one makes that was not made before; missing : features no sequence makes.

    reasons : for each missing feature why, in words. again : whether a hold is the one before it, let go in between.
    """

    holds: tuple[Hold, ...]
    made: tuple[frozenset[str], ...]
    missing: frozenset[str]
    reasons: tuple[str, ...] = ()
    again: tuple[bool, ...] = ()


@dataclass(frozen=True, slots=True, order=True)
class _State:
    cost: float
    number: int
    made: frozenset[str] = field(compare=False)
    path: tuple[tuple[int, frozenset[str]], ...] = field(compare=False)


def least_sequence(holds: tuple[Hold, ...], features: tuple[Feature, ...]) -> Sequence:
    """The sequence of least set-up time that makes every feature but optional ones, cheapest state first.

    Where none does, the one that makes most, with what it leaves and why: nothing is dropped.
    """
    wanted = frozenset(f.name for f in features if not f.optional)
    cared = frozenset[str]().union(*(hold.forbids for hold in holds))
    queue = [_State(0.0, 0, frozenset(), ())]
    seen: set[tuple[frozenset[str], int]] = set()
    best, pushed = queue[0], 0
    while queue and len(seen) < _MOST_STATES:
        state = heapq.heappop(queue)
        last = state.path[-1][0] if state.path else -1
        if (state.made, last) in seen:
            continue
        seen.add((state.made, last))
        if len(wanted & state.made) > len(wanted & best.made):
            best = state
        if wanted <= state.made:
            break
        for index, hold in enumerate(holds):
            for fresh in _fresh(hold, features, state.made, cared, index == last):
                pushed += 1
                cost = state.cost + (RELEASE_MIN if index == last else hold.cost_min)
                path = (*state.path, (index, fresh))
                heapq.heappush(queue, _State(cost, pushed, state.made | fresh, path))
    return _told(best, holds, features, wanted)


def _fresh(
    hold: Hold, features: tuple[Feature, ...], made: frozenset[str], cared: frozenset[str], still_held: bool
) -> tuple[frozenset[str], ...]:
    """What a hold adds to what is made: all it can; and all but what would bar another hold, where that is a choice.

    still_held : the hold before is this one, so what it grips is still there whatever was cut above.
    """
    if not hold.needs <= made or (hold.forbids & made and not still_held):
        return ()
    able = [f for f in features if f.name in hold.makes and f.name not in made and f.earlier <= made]
    everything = _closed(able, made)
    sparing = _closed([f for f in able if f.name not in cared], made)
    return tuple(found for found in dict.fromkeys((everything, sparing)) if found)


def _closed(able: list[Feature], made: frozenset[str]) -> frozenset[str]:
    """Those whose foregoers are made or come along."""
    fresh = frozenset(f.name for f in able)
    while True:
        kept = frozenset(f.name for f in able if f.name in fresh and f.first <= made | fresh)
        if kept == fresh:
            return fresh
        fresh = kept


def _told(best: _State, holds: tuple[Hold, ...], features: tuple[Feature, ...], wanted: frozenset[str]) -> Sequence:
    path = best.path
    needed = frozenset[str]().union(*(holds[index].needs for index, _ in path))
    made = tuple(found & (wanted | needed) for _, found in path)
    missing = wanted - best.made
    return Sequence(
        holds=tuple(holds[index] for index, _ in path),
        made=made,
        missing=missing,
        reasons=tuple(_reason(name, holds, features, best.made) for name in sorted(missing)),
        again=tuple(k > 0 and path[k - 1][0] == index for k, (index, _) in enumerate(path)),
    )


def _reason(name: str, holds: tuple[Hold, ...], features: tuple[Feature, ...], made: frozenset[str]) -> str:
    """Why a feature is left: no hold turns it to the spindle, or those that do rest on what does not exist, or bar it."""
    able = [hold for hold in holds if name in hold.makes]
    if not able:
        return f"{name}: no hold of this shop turns it to the spindle within travels and reach"
    feature = next(f for f in features if f.name == name)
    before = sorted((feature.first | feature.earlier) - made)
    never = [other for other in before if not any(other in hold.makes for hold in holds)]
    if never:
        return f"{name}: it waits for {_few(never)}, which no hold of this shop shows"
    lacking = [(hold, sorted(hold.needs - made)) for hold in able]
    short = [f"'{hold.name}' holds by {_few(gone)}, which does not exist by then" for hold, gone in lacking if gone]
    if len(short) == len(able):
        return f"{name}: {short[0]}"
    barred = [f"'{hold.name}' grips {_few(hold.forbids & made)}, cut by then" for hold in able if hold.forbids & made]
    return f"{name}: {barred[0] if barred else 'it waits for ' + ', '.join(before)}"


def _few(names: Iterable[str]) -> str:
    """The first of some features by name, and how many more."""
    first, *others = sorted(names)
    return first if not others else f"{first} and {len(others)} more"
