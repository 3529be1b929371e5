"""What a scan showed, in one picture: the old part's height as shades, faces, openings with numbers, what was dropped."""

import numpy as np
from matplotlib.axes import Axes

from tractwright.design.pattern import Pattern, Room
from tractwright.geometry.frames import Array
from tractwright.packet.charts.sheet_of_paper import as_png, blank, the_look
from tractwright.packet.colours import COPPER, INK, TEAL
from tractwright.packet.drawing.face import port_contour
from tractwright.packet.drawing.sheet import contour_points
from tractwright.standards.holes import clearance_hole

CELL_MM = 3.0
NOT_SURE = 0.5
"""Features less sure than this are drawn in copper, as the rule pattern.sure has it."""
EDGE_MM = 15.0
_DROPPED = "#c22f2f"


def scan_picture(pattern: Pattern, room: Room) -> bytes:
    """PNG: from in front of the head, and from port 1's end. What is not sure is copper, what was dropped red."""
    with the_look():
        figure = blank(11.0, 5.6)
        front, side = figure.subplots(1, 2, width_ratios=(1.9, 1.0))
        for axes, (across, away, towards) in ((front, (0, 2, 1.0)), (side, (2, 0, -1.0))):
            _shades(axes, room, across, away, towards)
            axes.set_aspect("equal")
            axes.set_ylabel("y, up [mm]")
        front.set_title("from in front of the head: the face's openings, seen through the part", fontsize=8)
        side.set_title("from port 1's end", fontsize=8)
        front.set_xlabel("x, along the row [mm]")
        side.set_xlabel("z, out of the head [mm]" if len(pattern.banks) == 1 else "z, to the right of the middle [mm]")
        _openings(front, pattern)
        _throttle(front, side, pattern)
        _head_faces(side, pattern)
        return as_png(figure)


def _shades(axes: Axes, room: Room, across: int, away: int, towards: float) -> None:
    """The old part's nearest height in cells, and what was dropped as dots; nothing without a scan."""
    if room.old_part is None:
        return
    vertices, faces = room.old_part
    points = np.concatenate(
        [vertices, vertices[faces].mean(axis=1), (vertices[faces[:, 0]] + vertices[faces[:, 1]]) / 2]
    )
    flat = points[:, [across, 1]]
    low = flat.min(axis=0)
    cell = ((flat - low) / CELL_MM).astype(int)
    heights = np.full(cell.max(axis=0) + 1, -np.inf)
    np.maximum.at(heights, (cell[:, 0], cell[:, 1]), towards * points[:, away])
    shown = np.ma.masked_invalid(heights.T)
    lightest = 1.3 * float(shown.min()) - 0.3 * float(shown.max())
    high = low + CELL_MM * np.array(heights.shape)
    axes.imshow(
        shown, origin="lower", extent=(low[0], high[0], low[1], high[1]), cmap="Greys", vmin=lightest, alpha=0.55
    )
    dropped = room.dropped_mm
    if len(dropped):
        axes.plot(dropped[:, across], dropped[:, 1], ".", color=_DROPPED, markersize=1.5, label="dropped")
    axes.set_xlim(low[0] - EDGE_MM, high[0] + EDGE_MM)
    axes.set_ylim(low[1] - EDGE_MM, high[1] + EDGE_MM)


def _head_faces(side: Axes, pattern: Pattern) -> None:
    """The head's face from its side; of two heads each as long as its openings are high."""
    if len(pattern.banks) == 1:
        side.axvline(0.0, color=TEAL, linewidth=1.0)
        side.annotate("head face", (0.0, 0.02), xycoords=("data", "axes fraction"), rotation=90, fontsize=6, color=TEAL)
        return
    half = max(abs(item.at_mm[1]) for item in (*pattern.ports, *pattern.head_holes)) + EDGE_MM
    for bank in pattern.banks:
        ends = bank.frame.to_world([(0.0, -half, 0.0), (0.0, half, 0.0)])
        side.plot(ends[:, 2], ends[:, 1], color=TEAL, linewidth=1.0)
        side.annotate(bank.name, (bank.frame.origin_mm[2], bank.frame.origin_mm[1]), fontsize=7, ha="center", color=INK)


def _openings(axes: Axes, pattern: Pattern) -> None:
    """Ports and holes of the head; of two, which are alike, those of the first with the names on both."""
    count = len(pattern.banks)
    for k, port in enumerate(pattern.ports[: len(pattern.ports) // count]):
        line = contour_points(port_contour(port))
        colour = COPPER if pattern.sure_of(f"port {port.name}") < NOT_SURE else TEAL
        _closed(axes, line, colour)
        names = " / ".join(item.name for item in pattern.ports[k :: len(pattern.ports) // count])
        axes.annotate(names, port.at_mm, color=INK, ha="center", va="center", fontsize=8)
    assumed = {item.at_mm for item in pattern.probable if item.taken}
    for k, hole in enumerate(pattern.head_holes[: len(pattern.head_holes) // count]):
        radius = clearance_hole(hole.thread).medium_mm / 2.0
        angle = np.linspace(0.0, 2.0 * np.pi, 40)
        line = np.array(hole.at_mm) + radius * np.stack([np.cos(angle), np.sin(angle)], axis=1)
        doubtful = hole.at_mm in assumed or pattern.sure_of(f"hole {hole.name}") < NOT_SURE
        _closed(axes, line, COPPER if doubtful else TEAL)
        where = (hole.at_mm[0], hole.at_mm[1] + radius + 1.5)
        names = " / ".join(item.name for item in pattern.head_holes[k :: len(pattern.head_holes) // count])
        axes.annotate(names + ("?" if doubtful else ""), where, color=INK, ha="center", fontsize=6)


def _closed(axes: Axes, line: Array, colour: str) -> None:
    whole = np.concatenate([line, line[:1]])
    axes.plot(whole[:, 0], whole[:, 1], color=colour, linewidth=1.0)


def _throttle(front: Axes, side: Axes, pattern: Pattern) -> None:
    """The throttle's bore as the circle that it is, seen from both sides."""
    face = pattern.throttle_face
    if face is None:
        return
    angle = np.linspace(0.0, 2.0 * np.pi, 60)
    circle = face.frame.to_world(face.bore_mm / 2.0 * np.stack([np.cos(angle), np.sin(angle)], axis=1))
    front.plot(circle[:, 0], circle[:, 1], color=TEAL, linewidth=1.0)
    side.plot(circle[:, 2], circle[:, 1], color=TEAL, linewidth=1.0)
    for x, y in face.holes_mm:
        hole = face.frame.to_world([x, y])
        side.plot(hole[2], hole[1], "o", color=TEAL, markersize=2)
    side.annotate("throttle", (face.frame.origin_mm[2], face.frame.origin_mm[1]), fontsize=7, ha="center", color=INK)
