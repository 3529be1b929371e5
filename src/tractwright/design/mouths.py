"""Mouths: what they open into, and their openings."""

from tractwright.design.body_row import BodyRow
from tractwright.design.records import Design, Mouth, Plenum, Runner
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Frame, unit
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.geometry.placing import carried

Ground = Plenum | BodyRow
"""What mouths open into."""


def grounds(design: Design) -> tuple[Ground, ...]:
    """Every plenum and every row of throttle bodies."""
    return (*design.plena, *design.body_rows)


def ground_of(runner: Runner, design: Design) -> Ground:
    """What a runner's mouth opens into."""
    return next(item for item in grounds(design) if item.name == runner.mouth.plenum)


def mouth_opening(mouth: Mouth) -> Contour:
    """The opening about its middle, in the plenum frame's x-y."""
    return mouth.contour or outline_contour(circle(mouth.bore_mm))


def mouth_contour(mouth: Mouth) -> Contour:
    """The opening where it lies, in the plenum frame's x-y."""
    x0, y0 = mouth.at_mm
    return tuple((x0 + x, y0 + y, bulge) for x, y, bulge in mouth_opening(mouth))


def arrival(mouth: Mouth, ground: Ground) -> Array:
    """The way a runner arrives, unit, job frame: square to the floor unless it leans."""
    return unit(ground.frame.turn((*mouth.lean, 1.0)))


def mouth_in(runner: Runner, design: Design, frame: Frame) -> Contour:
    """The opening in the x-y of a frame that looks along the plenum's z or against it, at that frame's height."""
    mouth = runner.mouth
    ground = ground_of(runner, design)
    down = float(ground.frame.to_local(frame.origin_mm)[2]) - ground.floor_mm
    shift = (mouth.lean[0] * down, mouth.lean[1] * down)
    there = tuple((x + shift[0], y + shift[1], bulge) for x, y, bulge in mouth_contour(mouth))
    return carried(there, ground.frame, frame)
