"""hand_off/joint_<name>.dxf: outlines, openings, grooves and holes in the plane of each joint, 1 : 1, in its own x-y."""

from collections.abc import Mapping

from tractwright.cache import kept
from tractwright.check.case import Case
from tractwright.packet.contents import Contents
from tractwright.packet.drawing.face import Face, faces_of

_GROOVE, _GASKET, _OPENING, _HOLE, _NUMBER = "groove_middle", "gasket_line", "opening", "hole", "hole_number"
_BEHIND = "opening_far_side"
_BESIDE_MM = 4.0


def write(contents: Contents) -> Mapping[str, bytes]:
    """One drawing a joint, and one an insulating spacer: a layer for each outline, for openings, also where they come out on
    the far side, for grooves (their middle), holes and numbers.
    """
    case = contents.case
    return kept("joint_faces", (case.design,), lambda: _files(case)) if case.design.joints else {}


def _files(case: Case) -> dict[str, bytes]:
    return {f"hand_off/joint_{face.joint.name}.dxf": _drawn(face) for face in faces_of(case) if face.outlines}


def _drawn(face: Face) -> bytes:
    from tractwright.packet.drawing import exchange  # slow to import, and only needed where the file is not kept

    pieces = tuple(dict.fromkeys(f"outline_{piece}" for piece, _ in face.outlines))
    drawing = exchange.new_drawing((*pieces, _OPENING, _BEHIND, _GROOVE, _GASKET, _HOLE, _NUMBER))
    space = drawing.modelspace()
    for piece, outline in face.outlines:
        exchange.add_contour(space, outline, f"outline_{piece}")
    for opening in face.openings:
        exchange.add_contour(space, opening, _OPENING)
    for opening in face.behind:
        exchange.add_contour(space, opening, _BEHIND)
    for path, width in face.grooves:
        exchange.add_contour(space, path, _GROOVE if width > 0.0 else _GASKET)
    for hole in face.holes:
        exchange.add_circle(space, (hole.x_mm, hole.y_mm), hole.diameter_mm, _HOLE)
        beside = (hole.x_mm + hole.diameter_mm / 2.0 + _BESIDE_MM, hole.y_mm)
        exchange.add_words(space, beside, hole.number, _NUMBER)
    return exchange.drawing_bytes(drawing)
