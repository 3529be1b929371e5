"""The openings of mouths in a plenum's floor."""

from tractwright.design.records import Design, Mouth, Runner
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.geometry.placing import carried


def mouth_opening(mouth: Mouth) -> Contour:
    """The opening about its middle, in the plenum frame's x-y."""
    return mouth.contour or outline_contour(circle(mouth.bore_mm))


def mouth_contour(mouth: Mouth) -> Contour:
    """The opening where it lies, in the plenum frame's x-y."""
    x0, y0 = mouth.at_mm
    return tuple((x0 + x, y0 + y, bulge) for x, y, bulge in mouth_opening(mouth))


def mouth_in(runner: Runner, design: Design, frame: Frame) -> Contour:
    """The opening in the x-y of a frame that looks along the plenum's z or against it."""
    plenum = next(item for item in design.plena if item.name == runner.mouth.plenum)
    return carried(mouth_contour(runner.mouth), plenum.frame, frame)
