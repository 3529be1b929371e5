"""print/<piece>.stl: each piece as binary triangles in millimetres, for printed trial pieces that take no 3MF."""

from collections.abc import Mapping

import numpy as np

from tractwright.geometry.meshfile import stl_bytes
from tractwright.packet.contents import Contents


def write(contents: Contents) -> Mapping[str, bytes]:
    """One file a piece that has triangles."""
    pieces = [piece for piece in contents.case.pieces or () if len(piece.mesh[1])]
    corners = {piece.name: piece.mesh[0][piece.mesh[1]].astype(np.float32) for piece in pieces}
    return {f"print/{name}.stl": stl_bytes(triangles, f"tractwright {name}, mm") for name, triangles in corners.items()}
