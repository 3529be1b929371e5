"""The least sequence of set-ups: what locates and holds, what that needs, what it makes. Nothing is held by what is not cut."""

from collections.abc import Iterator
from dataclasses import dataclass

from tractwright.geometry.frames import Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A way to hold a piece: needs these features, forbids those (they would be gripped or cut away), makes these."""

    name: str
    direction: Vec3
    holds_by: str
    needs: frozenset[str]
    forbids: frozenset[str]
    makes: frozenset[str]
    cost_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sequence:
    """Holds in order with what each one makes that was not made before; missing : features no sequence makes."""

    holds: tuple[Hold, ...]
    made: tuple[frozenset[str], ...]
    missing: frozenset[str]


def least_sequence(holds: tuple[Hold, ...], wanted: frozenset[str], longest: int = 6) -> Sequence:
    """The cheapest of the shortest sequences that makes everything wanted, by iterative deepening.

    Where none does, the sequence that makes most, with what it leaves: the caller says so, nothing is dropped.
    """
    best = Sequence(holds=(), made=(), missing=wanted)
    for depth in range(1, longest + 1):
        complete = [found for found in _sequences(holds, wanted, depth) if not wanted - frozenset().union(*found[1])]
        if complete:
            chosen, made = min(complete, key=lambda found: sum(hold.cost_min for hold in found[0]))
            return Sequence(holds=chosen, made=made, missing=frozenset())
        for chosen, made in _sequences(holds, wanted, depth):
            missing = wanted - frozenset().union(*made)
            if len(missing) < len(best.missing):
                best = Sequence(holds=chosen, made=made, missing=missing)
    return best


def _sequences(
    holds: tuple[Hold, ...], wanted: frozenset[str], depth: int
) -> Iterator[tuple[tuple[Hold, ...], tuple[frozenset[str], ...]]]:
    """Every sequence of at most that depth in which each hold rests on what exists and adds something."""

    def grow(
        chosen: tuple[Hold, ...], made: tuple[frozenset[str], ...], done: frozenset[str]
    ) -> Iterator[tuple[tuple[Hold, ...], tuple[frozenset[str], ...]]]:
        if chosen:
            yield chosen, made
        if len(chosen) == depth or wanted <= done:
            return
        for hold in holds:
            fresh = (hold.makes & wanted) - done
            if fresh and hold.needs <= done and not hold.forbids & done:
                yield from grow((*chosen, hold), (*made, fresh), done | fresh)

    yield from grow((), (), frozenset())
