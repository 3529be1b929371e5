"""The record of a channel, a way for another fluid that the old part carried; and of each of its holes."""

from dataclasses import dataclass
from typing import Literal

from tractwright.geometry.frames import Vec3
from tractwright.geometry.outlines import Outline

Fluid = Literal["coolant", "exhaust gas", "crankcase gas"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """A way from an opening in the head's face to a fitting on the head flange, apart from the air. All places in the
    bank's x-y, heights over the joint's face.

    at_mm, outline, turn_deg : the opening, sunk recess_mm into the flange. place 'out' : the fitting stands on the flange's
    outer face at port_mm, its top height_mm over that face on a post of post_mm (0 flush); 'edge' : in the flange's edge.
    edge_mm : from at_mm along way_deg to the flat that the drilling in the flange starts from, 0 where there is none; its axis
    is level_mm high; where the fitting stands out, it is closed by a taper plug. bore_mm : of every drilling; thread,
    thread_mm : of the fitting. swing_mm, reach_mm : the free cylinder over the fitting.
    """

    name: str
    joint: str
    fluid: Fluid
    place: Literal["out", "edge"]
    at_mm: tuple[float, float]
    outline: Outline
    turn_deg: float
    recess_mm: float
    bore_mm: float
    port_mm: tuple[float, float]
    height_mm: float
    post_mm: float
    way_deg: float
    edge_mm: float
    level_mm: float
    thread: str
    thread_mm: float
    plug: str
    swing_mm: float
    reach_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Drilling:
    """One hole of a channel, sized as a boss's hole is. start_mm : its mouth; out : unit, out of the metal."""

    start_mm: Vec3
    out: Vec3
    thread: str
    thread_mm: float
    hole_mm: float
    hole_depth_mm: float
    pocket_mm: tuple[tuple[float, float], ...] = ()
    blind: bool = False
