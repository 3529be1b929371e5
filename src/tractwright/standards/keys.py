"""Hexagon keys and sockets: what turns a screw and the space it takes. All lengths in mm."""

from dataclasses import dataclass
from functools import cache
from math import cos, pi

from tractwright.standards.tables import Origin, row_of_number


@dataclass(frozen=True, slots=True, kw_only=True)
class HexKey:
    """A bent hexagon key. across_corners_mm : of the sharp hexagon, so never too small.

    Straight on: a free cylinder across_corners_mm wide for the long arm above the head. Short arm in: short_arm_mm less
    the socket's depth above the head, and a sector of 60 degrees at least of radius long_arm_mm (common practice).
    """

    flats_mm: float
    across_corners_mm: float
    long_arm_mm: float
    extra_long_arm_mm: float
    short_arm_mm: float
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Socket:
    """A hand socket: largest outside diameter over its end [mm]."""

    flats_mm: float
    outside_mm: float
    origin: Origin


@cache
def hex_key(flats_mm: float) -> HexKey:
    """The key of that size across flats. Raises TableError. Source: JIS B 4648 (ISO 2936)."""
    found = row_of_number("hex_keys", "flats_mm", flats_mm)
    return HexKey(
        flats_mm=flats_mm,
        across_corners_mm=flats_mm / cos(pi / 6.0),
        long_arm_mm=found.number("long_arm_mm"),
        extra_long_arm_mm=found.number("extra_long_arm_mm"),
        short_arm_mm=found.number("short_arm_mm"),
        origin=found.origin,
    )


@cache
def socket(flats_mm: float) -> Socket:
    """The socket for a hexagon of that size. Raises TableError. From memory: shown unverified."""
    found = row_of_number("sockets", "flats_mm", flats_mm)
    return Socket(flats_mm=flats_mm, outside_mm=found.number("outside_mm"), origin=found.origin)
