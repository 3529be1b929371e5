"""The pictures of a packet: the whole, apart, and each piece."""

import io

import matplotlib.image
import numpy as np

from tractwright.geometry.frames import Array
from tractwright.packet.contents import Contents
from tractwright.packet.picture.scene import Body, View, draw
from tractwright.shape.records import BuiltPiece

_COLOURS = {
    "head": (0.80, 0.81, 0.83),
    "middle": (0.74, 0.78, 0.80),
    "plenum": (0.70, 0.78, 0.80),
    "cover": (0.84, 0.78, 0.68),
    "neck": (0.80, 0.66, 0.56),
}
_OLD_PART = (0.55, 0.45, 0.30)
_EYES = {
    "from_above": ((-0.75, 0.85, 0.95), (0.0, 1.0, 0.0)),
    "from_below": ((0.80, -0.75, 0.85), (0.0, 1.0, 0.0)),
    "from_the_head": ((-0.45, 0.40, -1.0), (0.0, 1.0, 0.0)),
}


def whole_pictures(contents: Contents, width: int = 1500, height: int = 1050) -> dict[str, bytes]:
    """The pieces together from three sides, as PNG; the old part as a veil in the first where there was a scan."""
    pieces = contents.case.pieces or ()
    bodies = tuple(_body(piece, np.zeros(3)) for piece in pieces)
    found: dict[str, bytes] = {}
    for name, (eye, up) in _EYES.items():
        found[name] = _png(bodies, View(towards_eye=eye, up=up, width=width, height=height))
    old = contents.case.room.old_part
    if old is not None:
        veil = Body(vertices_mm=old[0], faces=old[1], colour=_OLD_PART, solidity=0.30)
        eye, up = _EYES["from_above"]
        found["in_the_old_space"] = _png((*bodies, veil), View(towards_eye=eye, up=up, width=width, height=height))
    return found


def apart_picture(contents: Contents, width: int = 1500, height: int = 1050) -> bytes:
    """The pieces drawn apart along the way they are put together."""
    pieces = contents.case.pieces or ()
    shifts = _apart(contents)
    bodies = tuple(_body(piece, shifts.get(piece.name, np.zeros(3))) for piece in pieces)
    eye, up = _EYES["from_above"]
    return _png(bodies, View(towards_eye=eye, up=up, width=width, height=height))


def piece_pictures(contents: Contents, width: int = 1100, height: int = 760) -> dict[str, bytes]:
    """Each piece from the eye that shows its inside or its joint."""
    found: dict[str, bytes] = {}
    for piece in contents.case.pieces or ():
        for side, (eye, up) in (("front", _EYES["from_above"]), ("back", _EYES["from_the_head"])):
            view = View(towards_eye=eye, up=up, width=width, height=height)
            found[f"{piece.name}_{side}"] = _png((_body(piece, np.zeros(3)),), view)
    return found


def _apart(contents: Contents) -> dict[str, Array]:
    """How far each piece is moved: along each joint's normal, further for each joint passed."""
    design = contents.case.design
    shifts: dict[str, Array] = {"engine": np.zeros(3)}
    waiting = list(design.joints)
    for _ in range(len(waiting) + 1):
        for joint in waiting:
            first, second = joint.pieces
            if first in shifts and second not in shifts:
                step = 0.0 if first == "engine" else 70.0
                shifts[second] = shifts[first] + np.array(joint.frame.z) * step
    return shifts


def _body(piece: BuiltPiece, shift_mm: Array) -> Body:
    vertices, faces = piece.mesh
    return Body(vertices_mm=vertices + shift_mm, faces=faces, colour=_COLOURS[piece.kind])


def _png(bodies: tuple[Body, ...], view: View) -> bytes:
    out = io.BytesIO()
    matplotlib.image.imsave(out, np.ascontiguousarray(draw(bodies, view)), format="png", metadata={"Software": None})
    return out.getvalue()
