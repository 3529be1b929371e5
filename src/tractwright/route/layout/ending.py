"""What runners end in, as the rest of the layout sees it: a plenum or a row of throttle bodies."""

from dataclasses import dataclass
from typing import Protocol

from tractwright.design.body_row import BodyRow
from tractwright.design.records import Dowel, Flange, Joint, PieceKind, Plenum, Screw, Seal, Throttle


class RowOfMouths(Protocol):
    """A row of mouths, or several, before it is placed: mouth to mouth pitch_mm; floor_mm from the joint to the mouths;
    mouth_flange_mm the plate that they go through.
    """

    @property
    def name(self) -> str:
        """Of the face they lie in."""
        ...

    @property
    def mouths(self) -> int:
        """How many."""
        ...

    @property
    def pitch_mm(self) -> float:
        """From one to the next."""
        ...

    @property
    def nearest_mm(self) -> float:
        """From one's middle to the nearest other one's, in its own row or the next."""
        ...

    @property
    def bore_mm(self) -> float:
        """The widest one's."""
        ...

    @property
    def floor_mm(self) -> float:
        """From the joint to where they open."""
        ...

    @property
    def mouth_flange_mm(self) -> float:
        """Thickness of the plate on the runners' side of the joint."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """Everything of a description from the mouths on. pieces : name and kind of each that it is made of, beyond the head
    piece.
    """

    throttles: tuple[Throttle, ...]
    flanges: tuple[Flange, ...]
    joints: tuple[Joint, ...]
    screws: tuple[Screw, ...]
    seals: tuple[Seal, ...]
    pieces: tuple[tuple[str, PieceKind], ...] = ()
    plena: tuple[Plenum, ...] = ()
    body_rows: tuple[BodyRow, ...] = ()
    dowels: tuple[Dowel, ...] = ()
