"""The manifolds of a description: what is screwed together, apart from the engine and from throttle bodies."""

from dataclasses import dataclass

from tractwright.design.records import Bank, Design


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifold:
    """Pieces screwed together and the heads they stand on; runners and grounds (plena, rows of bodies) of theirs, by name."""

    pieces: frozenset[str]
    banks: tuple[Bank, ...]
    runners: frozenset[str]
    plena: frozenset[str]


def manifolds(design: Design) -> tuple[Manifold, ...]:
    """Every manifold, in the order of its first piece."""
    return tuple(_manifold(pieces, design) for pieces in _together(design))


def _together(design: Design) -> list[frozenset[str]]:
    found = [frozenset({piece.name}) for piece in design.pieces]
    for joint in design.joints:
        met = [pieces for pieces in found if pieces.intersection(joint.pieces)]
        if met:
            found = [
                frozenset().union(*met) if pieces is met[0] else pieces for pieces in found if pieces not in met[1:]
            ]
    return found


def _manifold(pieces: frozenset[str], design: Design) -> Manifold:
    heads = [joint.frame for joint in design.joints if joint.kind == "head" and pieces.intersection(joint.pieces)]
    banks = tuple(bank for bank in design.banks if bank.frame in heads)
    names = {bank.name for bank in banks}
    runners = [runner for runner in design.runners if runner.bank in names]
    return Manifold(
        pieces=pieces,
        banks=banks,
        runners=frozenset(runner.name for runner in runners),
        plena=frozenset(runner.mouth.plenum for runner in runners),
    )
