"""The middle piece: a flange at either end and the runners between them, built as the head piece is."""

from tractwright.shape.builders.head_piece import build

__all__ = ["KIND", "build"]

KIND = "middle"
