"""Frames that look at one plane from two sides, and contours carried from one frame to another."""

import numpy as np

from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, vec3


def from_behind(frame: Frame) -> Frame:
    """The same plane seen from its other side: x stays, y and z turn round."""
    return Frame(origin_mm=frame.origin_mm, x=frame.x, y=vec3(-np.array(frame.y)), z=vec3(-np.array(frame.z)))


def carried(contour: Contour, start: Frame, end: Frame) -> Contour:
    """A contour of one frame's x-y laid into another's along their common z, counter-clockwise again.

    The frames' z must be parallel or opposite; where they are opposite the contour is seen from behind and walked the
    other way.
    """
    places = end.to_local(start.to_world([(x, y) for x, y, _ in contour]))[:, :2]
    if float(np.dot(start.z, end.z)) > 0.0:
        return tuple((float(x), float(y), bulge) for (x, y), (_, _, bulge) in zip(places, contour, strict=True))
    bulges = [contour[i - 1][2] for i in range(len(contour))]
    return tuple((float(x), float(y), bulge) for (x, y), bulge in list(zip(places, bulges, strict=True))[::-1])
