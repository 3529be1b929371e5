"""The record of an insulating spacer."""

from dataclasses import dataclass

from tractwright.geometry.contours import Contour


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacer:
    """An insulating plate between a head and the flange on it, a gasket on each of its faces. contour: in the joint's x-y,
    counter-clockwise; it lies from the joint's plane thickness_mm against its z, onto the head.
    """

    name: str
    joint: str
    material: str
    thickness_mm: float
    contour: Contour
