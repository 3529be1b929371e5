"""hand_off/<piece>_plain.step, where the sheet asks for it: a piece without the small breaks of its outer edges."""

import os
from collections.abc import Mapping

from tractwright.cache import kept
from tractwright.errors import KernelError
from tractwright.kernel.child import Work, in_children
from tractwright.kernel.packed import PackedSolid
from tractwright.packet.contents import Contents
from tractwright.packet.tables import csv_text

_LIMIT_SECONDS = 300.0
_COLUMNS = ("piece", "file", "edges_broken", "still_broken", "why")


def write(contents: Contents) -> Mapping[str, bytes]:
    """A file a piece that is an exact solid, and a table of what each was broken by and what could not be left out."""
    if not contents.case.sheet.shop.solids_for_cutting:
        return {}
    pieces = [(piece.name, piece.solid) for piece in contents.case.pieces or () if piece.solid is not None]
    return kept("plain_edges", (contents.shape_key,), lambda: _files(pieces)) if pieces else {}


def _files(pieces: list[tuple[str, PackedSolid]]) -> dict[str, bytes]:
    works = [
        Work(function=plain_step, arguments=(name, solid), step=f"plain edges of {name}") for name, solid in pieces
    ]
    results = in_children(works, at_once=min(2, os.cpu_count() or 1), limit_seconds=_LIMIT_SECONDS)
    made: dict[str, bytes] = {}
    rows: list[tuple[object, ...]] = []
    for (name, _), result in zip(pieces, results, strict=True):
        if isinstance(result, KernelError):
            rows.append((name, "", "", "", result.reason))
        else:
            path = f"hand_off/{name}_plain.step"
            made[path], broken, left = result
            rows.append((name, path, broken, left, ""))
    return {**made, "hand_off/plain_edges.csv": csv_text(_COLUMNS, rows)}


def plain_step(name: str, solid: PackedSolid) -> tuple[bytes, int, int]:
    """One piece's file, how many small faces broke its edges, how many still do. Raises KernelError."""
    from tractwright.kernel.edges_plain import plain_edges  # loads the kernel: only in the process that needs it
    from tractwright.kernel.step import step_bytes

    plain = plain_edges(solid.opened())
    return step_bytes([(f"{name}, plain edges", plain.solid)], f"{name} plain edges"), plain.broken, plain.left
