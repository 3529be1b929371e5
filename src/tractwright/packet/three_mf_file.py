"""Meshes as one 3MF file (3MF Core Specification), same inputs same bytes. Imports little, for a child process makes it."""

import io
import re
import uuid
import zipfile
from collections.abc import Mapping
from typing import cast

import numpy as np
import numpy.typing as npt

_UUID = re.compile(rb"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
_STAMP = (1980, 1, 1, 0, 0, 0)


def three_mf(meshes: Mapping[str, tuple[npt.NDArray[np.float64], npt.NDArray[np.int32]]]) -> bytes:
    """The file, an object a mesh under its name. meshes : vertices (n, 3) [mm] and triangles (m, 3) of each."""
    import trimesh  # slow to import, and only needed where the file is made

    scene = trimesh.Scene()
    for name, (vertices, faces) in meshes.items():
        mesh = trimesh.Trimesh(vertices, faces, process=False, metadata={"name": name})
        scene.add_geometry(mesh, geom_name=name, node_name=name)
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
