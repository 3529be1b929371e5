"""Each piece as a STEP file of its own, and all of them as one assembly (ISO 10303-242), names kept."""

import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from tractwright.kernel.solid import Solid
from tractwright.kernel.step import write_step
from tractwright.packet.contents import Contents


def write(contents: Contents) -> Mapping[str, bytes]:
    """STEP files of every piece that is an exact solid; a piece that is only a mesh is left to the 3MF and its finding."""
    pieces = [(piece.name, piece.solid) for piece in contents.case.pieces or () if piece.solid is not None]
    name = contents.case.design.name
    files = {f"{piece}.step": _bytes([(piece, solid)], piece) for piece, solid in pieces}
    return files | ({f"{name}.step": _bytes(pieces, name)} if pieces else {})


def _bytes(pieces: Sequence[tuple[str, Solid]], name: str) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "part.step"
        write_step(pieces, path, name)
        return path.read_bytes()
