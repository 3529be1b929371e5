"""Screw heads, stock lengths and washers by standard. All lengths in mm.

Kinds: 'cap' (ISO 4762, inch ASME B18.3), 'hex' (ISO 4017), 'button' (ISO 7380-1), 'countersunk' (ISO 10642).
"""

from dataclasses import dataclass
from functools import cache
from typing import Literal

from tractwright.errors import TableError
from tractwright.standards.tables import Origin, row, rows
from tractwright.standards.threads import thread

HeadKind = Literal["cap", "hex", "button", "countersunk"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewHead:
    """A head's largest envelope and its bearing ring, lengths in mm.

    across_mm : largest diameter it takes up (knurled cap head, hexagon over sharp corners, theoretical countersunk head);
    plain_across_mm : least usual diameter; height_mm : largest height; key_mm : across the flats of its key, or of the
    hexagon itself; key_depth_mm : least depth of the socket, None for a hexagon head;
    seat_mm : least outer diameter of the ring it bears on, None where the standard's table at hand gives none.
    """

    kind: HeadKind
    standard: str
    size: str
    across_mm: float
    plain_across_mm: float
    height_mm: float
    key_mm: float
    key_depth_mm: float | None
    seat_mm: float | None
    shortest_mm: float
    longest_mm: float
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Washer:
    """A plain washer, lengths in mm: least hole, largest outer diameter, nominal and largest thickness."""

    standard: str
    size: str
    inner_mm: float
    outer_mm: float
    thickness_mm: float
    thickness_max_mm: float
    origin: Origin


@cache
def screw_head(kind: HeadKind, size: str) -> ScrewHead:
    """The head of that kind for a thread or size ('M6', 'M6x1'). Raises TableError."""
    found = row("screw_heads", kind=kind, size=_size(size))
    return ScrewHead(
        kind=kind,
        standard=found.text("standard"),
        size=found.text("size"),
        across_mm=found.number("across_mm"),
        plain_across_mm=found.number("plain_across_mm"),
        height_mm=found.number("height_mm"),
        key_mm=found.number("key_mm"),
        key_depth_mm=found.number_or_none("key_depth_mm"),
        seat_mm=found.number_or_none("seat_mm"),
        shortest_mm=found.number("shortest_mm"),
        longest_mm=found.number("longest_mm"),
        origin=found.origin,
    )


@cache
def stock_lengths(kind: HeadKind, size: str) -> tuple[float, ...]:
    """Nominal lengths under the head that are made in that thread [mm], rising. Raises TableError."""
    head = screw_head(kind, size)
    lengths = row("screw_lengths", kind=kind, standard=head.standard).numbers("lengths_mm")
    return tuple(length for length in lengths if head.shortest_mm <= length <= head.longest_mm)


def stock_length_at_most(kind: HeadKind, size: str, length_mm: float) -> float:
    """The longest stock length not over that [mm]. Raises TableError where even the shortest is longer."""
    fitting = [length for length in stock_lengths(kind, size) if length <= length_mm + 1e-9]
    if not fitting:
        raise TableError("screw_lengths", f"{kind} {size} at most {length_mm:g} mm", _texts(stock_lengths(kind, size)))
    return fitting[-1]


def stock_length_at_least(kind: HeadKind, size: str, length_mm: float) -> float:
    """The shortest stock length not under that [mm]. Raises TableError where even the longest is shorter."""
    fitting = [length for length in stock_lengths(kind, size) if length >= length_mm - 1e-9]
    if not fitting:
        raise TableError("screw_lengths", f"{kind} {size} at least {length_mm:g} mm", _texts(stock_lengths(kind, size)))
    return fitting[0]


@cache
def washer(size: str, standard: str = "") -> Washer:
    """The washer for a thread or size, of that standard where one is named. Raises TableError."""
    wanted = {"standard": standard} if standard else {}
    found = row("washers", size=_size(size), **wanted)
    return Washer(
        standard=found.text("standard"),
        size=found.text("size"),
        inner_mm=found.number("inner_mm"),
        outer_mm=found.number("outer_mm"),
        thickness_mm=found.number("thickness_mm"),
        thickness_max_mm=found.number("thickness_max_mm"),
        origin=found.origin,
    )


def head_sizes(kind: HeadKind) -> tuple[str, ...]:
    """Sizes a kind of head is held in, rising."""
    return tuple(item.text("size") for item in rows("screw_heads") if item.text("kind") == kind)


def _size(designation: str) -> str:
    return thread(designation).size


def _texts(lengths: tuple[float, ...]) -> tuple[str, ...]:
    return tuple(f"{length:g}" for length in lengths)
