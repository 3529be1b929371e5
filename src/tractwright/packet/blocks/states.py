"""The block as it lies in the machine at each set-up after the first: the stock less what the set-ups before have cut.

It holds at least the metal that is there: the outside stands a little proud and in steps, and what is cut with the part
stood up, bosses' holes and lips are not taken off yet.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tractwright.design.records import Design, Piece
from tractwright.errors import KernelError
from tractwright.kernel.checked import Checked, cut
from tractwright.kernel.mesh import mesh_body
from tractwright.kernel.solid import solid_to_bytes
from tractwright.make.feature import Face, bore_name, faces_of
from tractwright.make.features import features_of
from tractwright.make.records import Setup, Stock
from tractwright.packet.blocks.features import cutters_of, passage_cutters, throttle_bore
from tractwright.packet.blocks.fixtures import fixture_of
from tractwright.packet.blocks.stock import block_frame, block_outline
from tractwright.packet.blocks.swept import LEVELS, swept_off
from tractwright.shape.parts.bodies import prism
from tractwright.shape.records import BuiltPiece

FINISH_MM = 0.5
"""Left on a joint face that is roughed for its finish. Source: common_practice."""
_SAME, _PLAIN_MM = 0.9999, 0.1


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class BlockAt:
    """A set-up's block and its fixture, packed for the way; None for the block as sawn, and for a hold without a fixture.
    without : what could not be taken off the block.
    """

    setup: str
    block: bytes | None
    fixture: bytes | None
    without: tuple[str, ...]


def block_states(
    design: Design, built: BuiltPiece, stock: Stock, setups: tuple[Setup, ...], riser_mm: float
) -> tuple[BlockAt, ...]:
    """For every set-up of a piece the block that is held in it and the fixture that holds it. Raises KernelError."""
    work = _Work(design, built, stock)
    state = prism(block_outline(stock), work.frame, stock.size_mm[2])
    left: list[str] = []
    made: frozenset[str] = frozenset()
    found: list[BlockAt] = []
    for setup in setups:
        block = solid_to_bytes(state.solid) if made else None
        fixture, words = _fixture(work, setup, riser_mm)
        found.append(BlockAt(setup=setup.name, block=block, fixture=fixture, without=(*left, *words)))
        if setup is setups[-1]:
            break
        for what, tools in work.cut_in(setup, made):
            try:
                state = cut(state, tools, what) if tools else state
            except KernelError:
                left.append(what)
        made |= frozenset(setup.makes)
    return tuple(found)


def _fixture(work: "_Work", setup: Setup, riser_mm: float) -> tuple[bytes | None, tuple[str, ...]]:
    """The fixture, packed; or that it could not be made."""
    try:
        fixture = fixture_of(work.twin, setup, work.faces, riser_mm)
    except KernelError as fault:
        return None, (f"its fixture ({fault.reason})",)
    return None if fixture is None else solid_to_bytes(fixture), ()


class _Work:
    """A piece with its block and its faces."""

    def __init__(self, design: Design, built: BuiltPiece, stock: Stock) -> None:
        self.design = design
        self.piece: Piece = next(item for item in design.pieces if item.name == built.name)
        self.stock = stock
        self.frame = block_frame(stock, built.mesh[0])
        self.twin = mesh_body(*built.mesh).simplify(_PLAIN_MM)
        self.faces = faces_of(design, self.piece)
        self.cutters = cutters_of(design, self.piece, self.faces)
        self.passages = {item.name for item in features_of(design, self.piece) if item.work == "passages"}

    def cut_in(self, setup: Setup, made: frozenset[str]) -> Iterator[tuple[str, Sequence[Checked]]]:
        """What a set-up takes off, group by group."""
        for face in self.faces:
            yield f"the {face.name}", self._face(face, setup)
        if any(name.startswith("outside") for name in setup.makes) and np.dot(setup.direction, setup.floor) > _SAME:
            yield "the outside", self._swept(setup.direction, setup.level_mm, LEVELS)
        hollow = [name for name in setup.makes if name in self.cutters]
        yield "holes and grooves", [tool for name in hollow for tool in self.cutters[name]()]
        bored = [item for item in self.design.throttles if bore_name(item, self.design) in setup.makes]
        yield "bores", [throttle_bore(item, self.design) for item in bored]
        before = {name for name in self.passages if name in made}
        if before != self.passages and self.passages <= made | frozenset(setup.makes):
            yield "passages", passage_cutters(self.design)

    def _face(self, face: Face, setup: Setup) -> list[Checked]:
        height = float(np.dot(face.at_mm, face.out))
        if f"{face.name} finished" in setup.makes:
            return self._swept(face.out, height, 1)
        return self._swept(face.out, height + FINISH_MM, 1) if f"{face.name} roughed" in setup.makes else []

    def _swept(self, way: tuple[float, float, float], above_mm: float, levels: int) -> list[Checked]:
        return swept_off(self.twin, (self.frame, self.stock.size_mm), way, above_mm, levels)
