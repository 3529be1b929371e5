"""The pieces as one 3MF file for printed trial pieces."""

from collections.abc import Mapping

from tractwright.cache import kept
from tractwright.errors import KernelError
from tractwright.kernel.child import Work, in_children
from tractwright.packet.contents import Contents
from tractwright.packet.three_mf_file import three_mf

_LIMIT_SECONDS = 300.0


def write(contents: Contents) -> Mapping[str, bytes]:
    """One file with an object a piece, in millimetres; a piece without a mesh is left to its finding."""
    design = contents.case.design
    if not any(len(piece.mesh[1]) for piece in contents.case.pieces or ()):
        return {}
    return {f"{design.name}.3mf": kept("three_mf", (contents.shape_key,), lambda: _file(contents))}


def _file(contents: Contents) -> bytes:
    """Made by a child process, while this one draws pictures. Raises KernelError where that falls over."""
    meshes = {piece.name: piece.mesh for piece in contents.case.pieces or () if len(piece.mesh[1])}
    work = Work(function=three_mf, arguments=(meshes,), step="the 3MF file")
    (result,) = in_children([work], at_once=1, limit_seconds=_LIMIT_SECONDS)
    if isinstance(result, KernelError):
        raise result
    return result
