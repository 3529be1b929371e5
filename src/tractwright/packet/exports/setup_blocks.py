"""hand_off/setups.step, setups.csv, where the sheet asks for them: the block at each set-up, and the fixture under it."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import TYPE_CHECKING

from tractwright.cache import kept
from tractwright.errors import KernelError
from tractwright.kernel.child import Work, in_children
from tractwright.make.records import Setup, Stock
from tractwright.packet.contents import Contents
from tractwright.packet.tables import csv_text
from tractwright.shape.records import BuiltPiece

if TYPE_CHECKING:
    from tractwright.packet.blocks.states import BlockAt

_LIMIT_SECONDS = 400.0
_COLUMNS = (
    "setup", "piece", "block", "left_on_it", "fixture", "up_x", "up_y", "up_z", "plate_x", "plate_y", "plate_z", "ends_at_mm",
)  # fmt: skip


def write(contents: Contents) -> Mapping[str, bytes]:
    """A solid a set-up after each piece's first, for the first is the stock; a fixture for each that is screwed down; and
    how each lies: up to the spindle, out of plate or jaws, which end so far along that.
    """
    setups = contents.case.plan.setups if contents.case.plan else ()
    if not setups or not contents.case.sheet.shop.solids_for_cutting:
        return {}
    key = (contents.shape_key, setups, contents.case.sheet.shop.riser_mm)
    return kept("setup_blocks", key, lambda: _files(contents, setups))


def _files(contents: Contents, setups: tuple[Setup, ...]) -> dict[str, bytes]:
    from tractwright.kernel.solid import solid_from_bytes  # loads the kernel: only where files are written anew
    from tractwright.kernel.step import step_bytes

    found = {at.setup: at for at in _blocks(contents, setups)}
    blocks = [(f"block at {name}", solid_from_bytes(at.block)) for name, at in found.items() if at.block]
    fixtures = [(f"fixture of {name}", solid_from_bytes(at.fixture)) for name, at in found.items() if at.fixture]
    names = {name for name, _ in (*blocks, *fixtures)}
    rows = [_row(setup, names, found.get(setup.name)) for setup in setups]
    made = {"hand_off/setups.csv": csv_text(_COLUMNS, rows)}
    return made | ({"hand_off/setups.step": step_bytes([*blocks, *fixtures], "setups")} if names else {})


def _row(setup: Setup, names: set[str], at: BlockAt | None) -> tuple[object, ...]:
    block, fixture = f"block at {setup.name}", f"fixture of {setup.name}"
    without = ("it could not be made",) if at is None else at.without
    return (
        setup.name,
        setup.piece,
        block if block in names else f"stock {setup.piece}",
        "; ".join(without),
        fixture if fixture in names else "",
        *_exact(*setup.direction, *setup.floor),
        setup.level_mm,
    )


def _blocks(contents: Contents, setups: tuple[Setup, ...]) -> list[BlockAt]:
    from tractwright.packet.blocks.states import block_states

    case = contents.case
    riser = case.sheet.shop.riser_mm
    built: dict[str, BuiltPiece] = {piece.name: piece for piece in case.pieces or () if len(piece.mesh[1])}
    stocks: dict[str, Stock] = {stock.piece: stock for stock in case.plan.stocks} if case.plan else {}
    works = [
        Work(
            function=block_states,
            arguments=(case.design, piece, stocks[name], tuple(s for s in setups if s.piece == name), riser),
            step=f"the block of {name}",
        )
        for name, piece in built.items()
        if name in stocks
    ]
    results = in_children(works, at_once=min(2, os.cpu_count() or 1), limit_seconds=_LIMIT_SECONDS)
    return [at for found in results if not isinstance(found, KernelError) for at in found]


def _exact(*values: float) -> tuple[str, ...]:
    return tuple(f"{float(value) + 0.0:.9f}" for value in values)
