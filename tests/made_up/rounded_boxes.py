"""A contour that many made-up flanges and grooves have."""

from math import pi, tan

from tractwright.geometry.contours import Contour

QUARTER = tan(pi / 8)
"""Bulge of a quarter circle."""


def rounded_box(width: float, height: float, radius: float) -> Contour:
    """A rectangle with round corners about the origin, counter-clockwise."""
    w, h = width / 2, height / 2
    return (
        (w, -h + radius, 0.0), (w, h - radius, QUARTER), (w - radius, h, 0.0), (-w + radius, h, QUARTER),
        (-w, h - radius, 0.0), (-w, -h + radius, QUARTER), (-w + radius, -h, 0.0), (w - radius, -h, QUARTER),
    )  # fmt: skip
