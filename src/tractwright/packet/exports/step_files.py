"""Each piece as a STEP file of its own, and all of them as one assembly (ISO 10303-242), names kept.

A piece that the user has drawn goes out as the file it came in, byte for byte and in its own axes; in the assembly it lies
where it belongs.
"""

from collections.abc import Mapping, Sequence

from tractwright.cache import kept
from tractwright.kernel.packed import PackedSolid
from tractwright.packet.contents import Contents


def write(contents: Contents) -> Mapping[str, bytes]:
    """STEP files of every piece that is an exact solid; a piece that is only a mesh is left to the 3MF and its finding."""
    pieces = [(piece.name, piece.solid) for piece in contents.case.pieces or () if piece.solid is not None]
    name = contents.case.design.name
    made = kept("step_files", (contents.shape_key,), lambda: _files(pieces, name)) if pieces else {}
    return {**made, **_handed_through(contents)}


def _handed_through(contents: Contents) -> dict[str, bytes]:
    """The user's own files. The packet lies in the folder that they are named from."""
    own = [piece for piece in contents.case.design.pieces if piece.own]
    built = {piece.name for piece in contents.case.pieces or () if piece.solid is not None}
    return {f"{p.name}.step": (contents.folder.parent / p.own).read_bytes() for p in own if p.name in built}


def _files(pieces: Sequence[tuple[str, PackedSolid]], name: str) -> dict[str, bytes]:
    from tractwright.kernel.step import step_bytes  # loads the kernel: only where files are written anew

    opened = [(piece, solid.opened()) for piece, solid in pieces]
    alone = {f"{piece}.step": step_bytes([(piece, solid)], piece) for piece, solid in opened}
    return alone | {assembly_name(name, alone): step_bytes(opened, name)}


def assembly_name(name: str, taken: Mapping[str, bytes]) -> str:
    """The assembly's file: named after the job, told apart from a piece of the same name."""
    return f"{name}_whole.step" if f"{name}.step" in taken else f"{name}.step"
