"""The openings of mouths in a plenum's floor."""

from tractwright.design.records import Design, Mouth, Plenum, Runner
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Frame, unit
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.geometry.placing import carried


def mouth_opening(mouth: Mouth) -> Contour:
    """The opening about its middle, in the plenum frame's x-y."""
    return mouth.contour or outline_contour(circle(mouth.bore_mm))


def mouth_contour(mouth: Mouth) -> Contour:
    """The opening where it lies, in the plenum frame's x-y."""
    x0, y0 = mouth.at_mm
    return tuple((x0 + x, y0 + y, bulge) for x, y, bulge in mouth_opening(mouth))


def arrival(mouth: Mouth, plenum: Plenum) -> Array:
    """The way a runner arrives, unit, job frame: square to the floor unless it leans."""
    return unit(plenum.frame.turn((*mouth.lean, 1.0)))


def mouth_in(runner: Runner, design: Design, frame: Frame) -> Contour:
    """The opening in the x-y of a frame that looks along the plenum's z or against it, at that frame's height."""
    mouth = runner.mouth
    plenum = next(item for item in design.plena if item.name == mouth.plenum)
    down = float(plenum.frame.to_local(frame.origin_mm)[2]) - plenum.floor_mm
    shift = (mouth.lean[0] * down, mouth.lean[1] * down)
    there = tuple((x + shift[0], y + shift[1], bulge) for x, y, bulge in mouth_contour(mouth))
    return carried(there, plenum.frame, frame)
