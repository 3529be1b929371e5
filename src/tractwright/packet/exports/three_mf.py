"""The pieces as one 3MF file for printed trial pieces (3MF Core Specification), same inputs same bytes."""

import io
import re
import uuid
import zipfile
from collections.abc import Mapping
from typing import cast

from tractwright.cache import kept
from tractwright.packet.contents import Contents

_UUID = re.compile(rb"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
_STAMP = (1980, 1, 1, 0, 0, 0)


def write(contents: Contents) -> Mapping[str, bytes]:
    """One file with an object a piece, in millimetres; a piece without a mesh is left to its finding."""
    design = contents.case.design
    if not any(len(piece.mesh[1]) for piece in contents.case.pieces or ()):
        return {}
    return {f"{design.name}.3mf": kept("three_mf", (contents.shape_key,), lambda: _three_mf(contents))}


def _three_mf(contents: Contents) -> bytes:
    import trimesh  # slow to import, and only needed where the file is not kept

    scene = trimesh.Scene()
    for piece in contents.case.pieces or ():
        vertices, faces = piece.mesh
        if len(faces):
            mesh = trimesh.Trimesh(vertices, faces, process=False, metadata={"name": piece.name})
            scene.add_geometry(mesh, geom_name=piece.name, node_name=piece.name)
    scene.units = "mm"
    return _without_chance(cast("bytes", scene.export(file_type="3mf", compression=zipfile.ZIP_STORED)))


def _without_chance(raw: bytes) -> bytes:
    """The same archive with fixed stamps, and with identifiers counted instead of drawn by lot."""
    out = io.BytesIO()
    known: dict[bytes, bytes] = {}

    def counted(match: re.Match[bytes]) -> bytes:
        return known.setdefault(match.group(), str(uuid.uuid5(uuid.NAMESPACE_OID, str(len(known)))).encode())

    with zipfile.ZipFile(io.BytesIO(raw)) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for name in sorted(source.namelist()):
            target.writestr(zipfile.ZipInfo(name, _STAMP), _UUID.sub(counted, source.read(name)), zipfile.ZIP_DEFLATED)
    return out.getvalue()
