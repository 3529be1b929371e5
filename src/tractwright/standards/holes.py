"""Holes that screws pass through: clearance, counterbore, drill. All lengths in mm."""

from dataclasses import dataclass
from functools import cache
from typing import Literal

from tractwright.standards.tables import Origin, row, rows
from tractwright.standards.threads import thread

Fit = Literal["fine", "medium", "coarse"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearanceHole:
    """Clearance holes of one screw size [mm]; for inch screws fine, medium, coarse stand for close, normal, loose."""

    size: str
    fine_mm: float
    medium_mm: float
    coarse_mm: float
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Counterbore:
    """A flat-bottomed pocket for a head [mm]. depth_mm : the largest head plus clearance, without a washer."""

    kind: Literal["cap", "hex"]
    size: str
    diameter_mm: float
    depth_mm: float
    origin: Origin


@cache
def clearance_hole(size: str) -> ClearanceHole:
    """Clearance holes for a thread or size ('M6', 'M8x1.25', '1/4-20'). Raises TableError. Source: ISO 273, ASME B18.2.8."""
    found = row("clearance_holes", size=thread(size).size)
    return ClearanceHole(
        size=found.text("size"),
        fine_mm=found.number("fine_mm"),
        medium_mm=found.number("medium_mm"),
        coarse_mm=found.number("coarse_mm"),
        origin=found.origin,
    )


def clearance_holes() -> tuple[ClearanceHole, ...]:
    """The clearance holes of every size held."""
    return tuple(clearance_hole(item.text("size")) for item in rows("clearance_holes"))


def clearance_mm(size: str, fit: Fit = "medium") -> float:
    """Diameter of the clearance hole [mm]. Raises TableError."""
    hole = clearance_hole(size)
    return {"fine": hole.fine_mm, "medium": hole.medium_mm, "coarse": hole.coarse_mm}[fit]


@cache
def counterbore(kind: Literal["cap", "hex"], size: str) -> Counterbore:
    """The counterbore for a head. A hexagon head's has room for a socket. Raises TableError."""
    found = row("counterbores", kind=kind, size=thread(size).size)
    return Counterbore(
        kind=kind,
        size=found.text("size"),
        diameter_mm=found.number("diameter_mm"),
        depth_mm=found.number("depth_mm"),
        origin=found.origin,
    )


def drill_beyond_thread_mm(size: str, thread_length_mm: float) -> float:
    """How much deeper a blind hole is drilled than it is fully threaded [mm]: 0.20 x the thread from M6 up, 0.25 below,
    and no less than the five pitches a plug tap's lead takes.

    Source: BS 1936, a secondary print; the five pitches are common practice.
    """
    held = thread(size)
    share = 0.20 if held.major_mm >= 6.0 else 0.25
    return max(share * thread_length_mm, 5.0 * held.pitch_mm)
