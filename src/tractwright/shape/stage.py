"""Exact solids of the pieces: each built in its own process by the builder of its kind, the user's own read."""

import os
from functools import cache
from pathlib import Path
from types import ModuleType

from tractwright.design.records import Design, Piece
from tractwright.design.spacer import Spacer
from tractwright.errors import KernelError
from tractwright.kernel.child import Work, in_children
from tractwright.registry import modules_in
from tractwright.shape import builders
from tractwright.shape.records import NO_MESH, BuiltPiece, BuiltSpacer, nothing_built

_LIMIT_SECONDS = 600.0
"""Processor time of one piece: some twenty times the usual. It ends a hang, no more."""
_MOST_AT_ONCE = 4


@cache
def builder_of(kind: str) -> ModuleType:
    """The builder of a kind of piece. Raises KernelError where no builder makes it."""
    found = {module.KIND: module for module in modules_in(builders)}
    if kind not in found:
        raise KernelError("builders", f"none makes a piece of kind {kind!r}; there are {', '.join(sorted(found))}")
    return found[kind]


def build(design: Design, folder: Path = Path()) -> tuple[BuiltPiece, ...]:
    """Every piece of the design, in its order, in the job frame; the user's own as their files have them.

    folder : where the user's own files lie. A piece that could not be built stands in the result with its fallback and the
    reason: nothing is dropped.
    """
    works = [
        Work(function=build_one, arguments=(piece, design, folder), step=f"building {piece.name}")
        for piece in design.pieces
    ]
    results = in_children(works, at_once=min(_MOST_AT_ONCE, os.cpu_count() or 1), limit_seconds=_LIMIT_SECONDS)
    return tuple(
        nothing_built(piece, result) if isinstance(result, KernelError) else result
        for piece, result in zip(design.pieces, results, strict=True)
    )


def build_spacers(design: Design) -> tuple[BuiltSpacer, ...]:
    """Every insulating spacer of the design, in its order; one that could not be built with the reason."""
    works = [
        Work(function=build_spacer, arguments=(spacer, design), step=f"building spacer {spacer.name}")
        for spacer in design.spacers
    ]
    results = in_children(works, at_once=min(_MOST_AT_ONCE, os.cpu_count() or 1), limit_seconds=_LIMIT_SECONDS)
    return tuple(
        BuiltSpacer(name=spacer.name, solid=None, mesh=NO_MESH, volume_mm3=0.0, fallback=str(result))
        if isinstance(result, KernelError)
        else result
        for spacer, result in zip(design.spacers, results, strict=True)
    )


def build_spacer(spacer: Spacer, design: Design) -> BuiltSpacer:
    """One spacer, here and now. Raises KernelError naming what could not be cut."""
    from tractwright.shape.parts.spacer import built_spacer  # loads the kernel: only in the process that needs it

    return built_spacer(spacer, design)


def all_came_out(pieces: tuple[BuiltPiece, ...]) -> bool:
    """Whether every piece came out at least as a mesh. One that did not may have lost its process: worth another try."""
    return all(len(piece.mesh[1]) > 0 for piece in pieces)


def build_one(piece: Piece, design: Design, folder: Path = Path()) -> BuiltPiece:
    """One piece, here and now. Raises KernelError where its builder gives up."""
    if piece.own:
        from tractwright.shape.own_piece import own_piece  # loads the kernel: only in the process that needs it

        return own_piece(piece, folder)
    built: BuiltPiece = builder_of(piece.kind).build(piece, design)
    return built
