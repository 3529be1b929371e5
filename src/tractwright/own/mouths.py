"""An opening as the passage behind it has it: what is rounded or chamfered at its edge is no part of it."""

from math import sqrt

import numpy as np
from scipy.optimize import root_scalar

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, contour_area
from tractwright.geometry.offsets import offset_contour
from tractwright.own.records import JointFace, Opening, Passage

_SAME_SHARE = 0.998
_SMALLEST = 0.45
"""Of an opening's lesser size: it cannot be offset inwards by more."""


def opening_of(face: JointFace, name: str) -> Opening:
    """An opening of a face by its name."""
    return next(opening for opening in face.openings if opening.name == name)


def bare_contour(face: JointFace, passage: Passage, end: int) -> Contour:
    """The contour of a passage's end in its face's x-y, drawn in evenly to the area that the passage has past the rounding
    of its opening.
    """
    contour = opening_of(face, passage.ends[end].opening).contour
    share = _share_past_lip(passage, end)
    if share > _SAME_SHARE:
        return contour
    wanted, size = share * contour_area(contour), min(opening_of(face, passage.ends[end].opening).size_mm)
    try:
        most = _SMALLEST * size * (1.0 - sqrt(share)) * 2.5
        off = root_scalar(lambda step: contour_area(offset_contour(contour, -step)) - wanted, bracket=(0.0, most)).root
        return offset_contour(contour, -float(off))
    except (KernelError, ValueError):
        return _scaled(contour, sqrt(share))


def _share_past_lip(passage: Passage, end: int) -> float:
    """Area past the rounding of an end over that at the face."""
    if passage.lips_mm[end] <= 0.0:
        return 1.0
    at = passage.lips_mm[0] if end == 0 else passage.length_mm - passage.lips_mm[1]
    return float(np.interp(at, passage.s_mm, passage.area_mm2)) / float(passage.area_mm2[0 if end == 0 else -1])


def _scaled(contour: Contour, by: float) -> Contour:
    x, y = np.mean([(x, y) for x, y, _ in contour], axis=0)
    return tuple((float(x + (a - x) * by), float(y + (b - y) * by), bulge) for a, b, bulge in contour)
