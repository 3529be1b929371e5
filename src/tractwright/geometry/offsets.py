"""Parallel contours and tidy contours, exact for lines and arcs."""

from math import atan2, hypot, pi

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour
from tractwright.geometry.pieces import SAME_MM, Piece, arc_piece, contour_of, crossings, pieces_of


def offset_contour(contour: Contour, distance_mm: float) -> Contour:
    """The contour parallel to a counter-clockwise one, outwards positive.

    Corners that open are rounded about the corner, corners that close are cut at the crossing.
    Raises KernelError where an arc is tighter than the distance, or two neighbours no longer meet.
    """
    pieces = pieces_of(contour)
    joined: list[Piece] = []
    for piece, after in zip(pieces, pieces[1:] + pieces[:1], strict=True):
        moved = piece.shifted(distance_mm)
        joined += [*([] if moved is None else [moved]), *_join(piece, after, distance_mm)]
    return contour_of(_trimmed(joined))


def is_smooth(contour: Contour) -> bool:
    """Whether neighbouring segments run into each other without a corner (1e-6 rad)."""
    pieces = pieces_of(contour)
    return all(_turn(piece, after) < 1e-6 for piece, after in zip(pieces, pieces[1:] + pieces[:1], strict=True))


def merged(contour: Contour) -> Contour:
    """The same contour with neighbouring segments of one line or one circle made one, up to half a turn."""
    pieces = pieces_of(contour)
    first = next((i for i in range(len(pieces)) if _one(pieces[i - 1], pieces[i]) is None), 0)
    kept: list[Piece] = []
    for piece in pieces[first:] + pieces[:first]:
        longer = _one(kept[-1], piece) if kept else None
        if longer is None:
            kept.append(piece)
        else:
            kept[-1] = longer
    return contour_of(kept)


def _turn(piece: Piece, after: Piece) -> float:
    """The angle of the corner between two neighbours [rad]."""
    tx, ty = piece.tangent(at_end=True)
    ux, uy = after.tangent(at_end=False)
    return abs(atan2(tx * uy - ty * ux, tx * ux + ty * uy))


def _one(piece: Piece, after: Piece) -> Piece | None:
    """Two neighbours as one, where they are of one line or of one circle and together turn no more than half round."""
    if (piece.radius == 0.0) != (after.radius == 0.0) or _turn(piece, after) > 1e-9:
        return None
    if piece.radius == 0.0:
        return Piece(piece.start, after.end)
    apart = hypot(piece.centre[0] - after.centre[0], piece.centre[1] - after.centre[1])
    sweep = piece.sweep + after.sweep
    if apart > SAME_MM or abs(piece.radius - after.radius) > SAME_MM or abs(sweep) > pi + 1e-9:
        return None
    return arc_piece(piece.centre, piece.radius, piece.first, sweep)


def _join(piece: Piece, after: Piece, distance: float) -> list[Piece]:
    """The arc about the corner between two pieces of the contour, where moving them opens it."""
    tx, ty = piece.tangent(at_end=True)
    ux, uy = after.tangent(at_end=False)
    turn = atan2(tx * uy - ty * ux, tx * ux + ty * uy)
    if turn * distance <= 0.0 or abs(distance * turn) < SAME_MM:
        return []
    return [arc_piece(piece.end, abs(distance), atan2(-tx * distance, ty * distance), turn)]


def _trimmed(pieces: list[Piece]) -> list[Piece]:
    """Neighbours that run past each other end at their crossing."""
    ends = [1.0] * len(pieces)
    starts = [0.0] * len(pieces)
    for i, piece in enumerate(pieces):
        k = (i + 1) % len(pieces)
        after = pieces[k]
        if hypot(piece.end[0] - after.start[0], piece.end[1] - after.start[1]) < SAME_MM:
            continue
        places = [(piece.place_of(p), after.place_of(p)) for p in crossings(piece, after)]
        inner = [(a, b) for a, b in places if 0.0 < a < 1.0 and 0.0 < b < 1.0]
        if not inner:
            raise KernelError("parallel contour", "two neighbouring segments no longer meet")
        ends[i], starts[k] = max(inner)
    if any(low >= high for low, high in zip(starts, ends, strict=True)):
        raise KernelError("parallel contour", "a segment is shorter than the distance takes away")
    return [piece.part(low, high) for piece, low, high in zip(pieces, starts, ends, strict=True)]
