"""The pictures of a packet: the whole, apart, and each piece."""

from dataclasses import replace

import numpy as np

from tractwright.design.spacer_space import spacer_name
from tractwright.geometry.frames import Array
from tractwright.packet.contents import Contents
from tractwright.packet.picture.pngs import Scene, pngs
from tractwright.packet.picture.scene import Body, View, corner_normals
from tractwright.shape.records import BuiltPiece, Mesh

_COLOURS = {
    "head": (0.80, 0.81, 0.83),
    "middle": (0.74, 0.78, 0.80),
    "plenum": (0.70, 0.78, 0.80),
    "cover": (0.84, 0.78, 0.68),
    "neck": (0.80, 0.66, 0.56),
}
_SPACER_COLOUR = (0.72, 0.62, 0.40)
OLD_PART = "old part"
_OLD_COLOUR = (0.55, 0.45, 0.30)
_SPACER_APART_MM = 45.0
_LARGE, _SMALL = (1500, 1050), (900, 620)
"""Pictures as wide as the page, and half as wide [pixels]."""
_EYES = {
    "from_above": ((-0.75, 0.85, 0.95), (0.0, 1.0, 0.0)),
    "from_below": ((0.80, -0.75, 0.85), (0.0, 1.0, 0.0)),
    "from_the_head": ((-0.45, 0.40, -1.0), (0.0, 1.0, 0.0)),
}


def bodies_of(contents: Contents) -> dict[str, Body]:
    """Every piece ready to be drawn, and the old part as a veil where there was a scan."""
    found = {piece.name: _body(piece) for piece in contents.case.pieces or () if len(piece.mesh[1])}
    found |= {
        spacer_name(spacer.name): _meshed(spacer.mesh, _SPACER_COLOUR)
        for spacer in contents.case.spacers
        if len(spacer.mesh[1])
    }
    old = contents.case.room.old_part
    if old is not None:
        normals = corner_normals(old[0], old[1])
        found[OLD_PART] = Body(vertices_mm=old[0], faces=old[1], normals=normals, colour=_OLD_COLOUR, solidity=0.30)
    return found


def all_pictures(contents: Contents) -> dict[str, bytes]:
    """Every picture of a packet by name, as PNG; none where no piece could be built."""
    bodies = bodies_of(contents)
    if all(name == OLD_PART for name in bodies):
        return {}
    return pngs({**_whole(bodies), "apart": _taken_apart(contents, bodies), **_piece_by_piece(bodies)})


def _whole(bodies: dict[str, Body]) -> dict[str, Scene]:
    """The pieces together from three sides, the first large; where there was a scan, in the veil of the old part."""
    solid = tuple(body for name, body in bodies.items() if name != OLD_PART)
    found: dict[str, Scene] = {name: (solid, _view(name, _LARGE if name == "from_above" else _SMALL)) for name in _EYES}
    if OLD_PART in bodies:
        found["in_the_old_space"] = ((*solid, bodies[OLD_PART]), _view("from_above", _SMALL))
    return found


def _taken_apart(contents: Contents, bodies: dict[str, Body]) -> Scene:
    """The pieces drawn apart along the way they are put together."""
    shifts = _apart(contents)
    moved = tuple(
        replace(body, vertices_mm=body.vertices_mm + shifts.get(name, np.zeros(3)))
        for name, body in bodies.items()
        if name != OLD_PART
    )
    return moved, _view("from_above", _LARGE)


def _piece_by_piece(bodies: dict[str, Body]) -> dict[str, Scene]:
    """Each piece from two sides."""
    sides = {"front": _view("from_above", _SMALL), "back": _view("from_the_head", _SMALL)}
    pieces = {name: body for name, body in bodies.items() if name != OLD_PART}
    return {f"{name}_{side}": ((body,), view) for name, body in pieces.items() for side, view in sides.items()}


def _view(eye: str, size: tuple[int, int]) -> View:
    towards, up = _EYES[eye]
    return View(towards_eye=towards, up=up, width=size[0], height=size[1])


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
    for spacer in design.spacers:
        joint = next(item for item in design.joints if item.name == spacer.joint)
        shifts[spacer_name(spacer.name)] = np.array(joint.frame.z) * -_SPACER_APART_MM
    return shifts


def _body(piece: BuiltPiece) -> Body:
    return _meshed(piece.mesh, _COLOURS[piece.kind])


def _meshed(mesh: Mesh, colour: tuple[float, float, float]) -> Body:
    vertices, faces = mesh
    return Body(vertices_mm=vertices, faces=faces, normals=corner_normals(vertices, faces), colour=colour)
