"""The ground a throttle's neck takes on a plenum: a pad that thickens a wall, or a place on the cover."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from tractwright.design.records import Flange
from tractwright.geometry.contours import Contour, polyline
from tractwright.geometry.frames import Array, Frame
from tractwright.route.layout.chamber import PAD_CORNER_MM, RIM_MM, Chamber
from tractwright.route.layout.outlines import Point, box

Side = Literal["end_1", "end_2", "side_1", "side_2"]
_OUT: dict[Side, Point] = {"end_1": (-1.0, 0.0), "end_2": (1.0, 0.0), "side_1": (0.0, -1.0), "side_2": (0.0, 1.0)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Pad:
    """A pad on a wall, plenum frame x-y. half_mm : along the wall, either way; inner_mm, face_mm : from the plenum's
    middle square to the wall, to the pad's inner edge and to its face.
    """

    side: Side
    half_mm: float
    inner_mm: float
    face_mm: float

    def outline(self, rim_mm: float = 0.0) -> Contour:
        """The pad's rectangle, grown by a rim on all sides."""
        along, across = 2 * (self.half_mm + rim_mm), self.face_mm - self.inner_mm + 2 * rim_mm
        middle = (self.face_mm + self.inner_mm) / 2
        out = _OUT[self.side]
        size = (across, along) if out[0] else (along, across)
        return box((out[0] * middle, out[1] * middle), size[0], size[1], PAD_CORNER_MM + rim_mm)

    def gap_mm(self, place: Point) -> float:
        """From a point to the pad [mm], 0 on it."""
        along, out = along_and_out(self.side, place)
        return float(np.hypot(max(abs(along) - self.half_mm, 0.0), max(self.inner_mm - out, out - self.face_mm, 0.0)))

    def on_floor(self) -> Contour:
        """What the pad covers of the floor, grown by the rim and drawn back into the box."""
        sunk = Pad(
            side=self.side,
            half_mm=self.half_mm,
            inner_mm=min(self.inner_mm, self.face_mm - 4 * (PAD_CORNER_MM + RIM_MM)),
            face_mm=self.face_mm,
        )
        return sunk.outline(RIM_MM)


def wall_pad(chamber: Chamber, side: Side, flange: Flange, frame: Frame) -> Pad:
    """The pad under a neck's flange on a wall."""
    reach = frame.to_local(flange.frame.to_world(polyline(flange.contour)))[:, :2] @ _along(side)
    half = chamber.width_mm / 2 if side.startswith("end") else chamber.height_mm / 2
    return Pad(
        side=side,
        half_mm=float(np.abs(reach).max()) + PAD_CORNER_MM,
        inner_mm=half + chamber.wall_mm / 2,
        face_mm=half + chamber.pad_mm,
    )


def at(side: Side, along_mm: float, out_mm: float) -> Point:
    """The point of the plenum's x-y that lies so far along a side from its middle, and so far out."""
    (ox, oy), (ax, ay) = _OUT[side], _along(side)
    return ox * out_mm + float(ax) * along_mm, oy * out_mm + float(ay) * along_mm


def along_and_out(side: Side, place: Point) -> Point:
    """How far along a side, and how far out, a point of the plenum's x-y lies."""
    return float(np.dot(place, _along(side))), float(np.dot(place, _OUT[side]))


def _along(side: Side) -> Array:
    return np.abs(np.array(_OUT[side])[::-1])
