"""The sawn block of a piece, where it lies round it."""

import numpy as np

from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Frame, vec3
from tractwright.make.records import Stock


def block_frame(stock: Stock, corners_mm: Array) -> Frame:
    """The frame of the block's lowest face, along the stock's own axes; corners_mm : (n, 3) of the piece within it."""
    axes = np.array(stock.axes)
    seen = corners_mm @ axes.T
    middle = (seen.min(axis=0) + seen.max(axis=0)) / 2.0
    lowest = middle - np.array([0.0, 0.0, stock.size_mm[2] / 2.0])
    return Frame(origin_mm=vec3(lowest @ axes), x=stock.axes[0], y=stock.axes[1], z=stock.axes[2])


def block_outline(stock: Stock) -> Contour:
    """The block's lowest face, in the x-y of its frame."""
    w, h = stock.size_mm[0] / 2.0, stock.size_mm[1] / 2.0
    return ((w, -h, 0.0), (w, h, 0.0), (-w, h, 0.0), (-w, -h, 0.0))
