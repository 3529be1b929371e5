"""The space a screw wants over its seat: head, washer, and what turns it. mm."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from tractwright.standards.keys import hex_key, socket
from tractwright.standards.screws import screw_head, washer

_SOCKET_MM = 60.0
"""A short socket on its ratchet. Source key: shop_judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """The space a screw takes over its seat [mm]: head with washer, then the key or socket that turns it.

    straight_mm : free length over the head for a key held straight; bent_mm : the least that will do, the short arm in.
    """

    head_radius_mm: float
    head_height_mm: float
    key_radius_mm: float
    straight_mm: float
    bent_mm: float


@lru_cache(maxsize=256)
def envelope_of(head: Literal["cap", "hex"], size: str, ring: str) -> Envelope:
    """What the tables say of a screw's head, washer (its standard, '' for none) and key. Raises TableError."""
    its_head = screw_head(head, size)
    its_ring = washer(size, ring) if ring else None
    radius = max(its_head.across_mm, its_ring.outer_mm if its_ring else 0.0) / 2
    height = its_head.height_mm + (its_ring.thickness_max_mm if its_ring else 0.0)
    if head == "hex":
        return Envelope(
            head_radius_mm=radius,
            head_height_mm=height,
            key_radius_mm=socket(its_head.key_mm).outside_mm / 2,
            straight_mm=_SOCKET_MM,
            bent_mm=_SOCKET_MM,
        )
    key = hex_key(its_head.key_mm)
    return Envelope(
        head_radius_mm=radius,
        head_height_mm=height,
        key_radius_mm=key.across_corners_mm / 2,
        straight_mm=key.long_arm_mm,
        bent_mm=key.short_arm_mm - (its_head.key_depth_mm or 0.0),
    )
