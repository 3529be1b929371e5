"""Meshes for the small picture: the description's skins at once, the exact pieces when they are there, as binary glTF."""

from collections.abc import Mapping, Sequence
from typing import Any, cast

import numpy as np
import numpy.typing as npt
import shapely
import trimesh
from trimesh.visual import TextureVisuals
from trimesh.visual.material import PBRMaterial

from tractwright.design.records import Design, Flange, Plenum, Runner
from tractwright.design.tube import tube
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, Frame
from tractwright.page.strips import Strip
from tractwright.shape.records import Mesh

SHOWN_PER_MM = 0.01
"""The picture's own unit is a decimetre: its camera likes small numbers."""
PLAIN, WALL, ROOM, REACH, SPEED = "plain", "wall", "room", "reach", "speed"
SHADES = (PLAIN, WALL, ROOM, REACH, SPEED)
_TONES = {
    "head": (196, 200, 204), "middle": (182, 194, 200), "plenum": (160, 186, 190), "cover": (214, 200, 172),
    "neck": (200, 160, 134), "old part": (150, 130, 96),
}  # fmt: skip
_LOW, _HIGH = np.array([180.0, 87.0, 42.0]), np.array([42.0, 127.0, 134.0])
"""From copper, where it is tight, to teal, where it is easy."""
_FULL_ROOM_MM = 30.0


def described_picture(design: Design, strips: Sequence[Strip], shade: str) -> bytes:
    """Runners' skins, flanges and the chamber as they are described, not yet cut or blended."""
    scene = trimesh.Scene()
    by_name = {strip.runner: strip for strip in strips}
    for runner in design.runners:
        _add(scene, runner.name, *_skin(runner, design, by_name[runner.name], shade))
    kinds = {piece.name: piece.kind for piece in design.pieces}
    for flange in design.flanges:
        _add(scene, flange.name, *_plate(flange, design), np.array([*_TONES[kinds[flange.piece]], 255]))
    for plenum in design.plena:
        _add(scene, plenum.name, *_chamber(plenum), np.array([*_TONES["plenum"], 255]))
    return _glb(scene)


def pieces_picture(meshes: Mapping[str, Mesh], kinds: Mapping[str, str]) -> bytes:
    """The exact pieces."""
    scene = trimesh.Scene()
    for name, (vertices, faces) in meshes.items():
        if len(faces):
            _add(scene, name, vertices, faces, np.array([*_TONES.get(kinds.get(name, ""), _TONES["head"]), 255]))
    return _glb(scene)


def old_part_picture(mesh: Mesh) -> bytes:
    """The scanned old part as a faint veil."""
    scene = trimesh.Scene()
    material = PBRMaterial(baseColorFactor=[*_TONES["old part"], 60], alphaMode="BLEND", doubleSided=True)
    body = trimesh.Trimesh(mesh[0] * SHOWN_PER_MM, mesh[1], process=False)
    body.visual = TextureVisuals(material=material)
    scene.add_geometry(body, geom_name="old part")
    return _glb(scene)


def _skin(runner: Runner, design: Design, strip: Strip, shade: str) -> tuple[Array, npt.NDArray[np.int32], Array]:
    model = tube(runner, design, stations=len(strip.stations_mm), angles=32)
    stations, angles, _ = model.outer_mm.shape
    here, row = np.arange(angles), (np.arange(stations - 1) * angles)[:, None]
    after = (here + 1) % angles
    a, b, c, d = row + here, row + after, row + angles + after, row + angles + here
    faces = np.concatenate([np.stack(ring, axis=-1).reshape(-1, 3) for ring in ((a, b, c), (a, c, d))])
    tones = np.repeat(_tones_along(strip, shade), angles, axis=0)
    return model.outer_mm.reshape(-1, 3), faces.astype(np.int32), tones


def _tones_along(strip: Strip, shade: str) -> Array:
    """A colour a station (n, 4), 0 to 255."""
    ease = _ease(strip, shade)
    if ease is None:
        return np.tile(np.array([*_TONES["head"], 255.0]), (len(strip.stations_mm), 1))
    ease = np.clip(ease, 0.0, 1.0)[:, None]
    return np.concatenate([_LOW + (_HIGH - _LOW) * ease, np.full((len(ease), 1), 255.0)], axis=1)


def _ease(strip: Strip, shade: str) -> Array | None:
    """How easy it is at each station, 0 tight to 1 easy; None where that is not known."""
    stations = np.array(strip.stations_mm)
    if shade == WALL:
        wall = np.array(strip.wall_mm)
        return (wall - 2.0) / 4.0
    if shade == ROOM:
        room = np.array([_FULL_ROOM_MM if value is None else value for value in strip.room_mm])
        return (room - strip.clearance_mm) / _FULL_ROOM_MM
    if shade == SPEED:
        area = np.array(strip.area_mm2)
        return (area / area.max() - 0.5) * 2.0
    if shade == REACH and strip.from_port_mm is not None and strip.from_mouth_mm is not None:
        reached = (stations <= strip.from_port_mm) | (stations >= strip.length_mm - strip.from_mouth_mm)
        return reached.astype(float)
    return None


def _plate(flange: Flange, design: Design) -> tuple[Array, npt.NDArray[np.int32]]:
    """A flange as a plate with its passages left open."""
    shape = shapely.Polygon(polyline(flange.contour, 0.2))
    for runner in design.runners:
        model = tube(runner, design, stations=33, angles=32)
        local = flange.frame.to_local(model.inner_mm)
        nearest = int(np.argmin(np.abs(local[..., 2].mean(axis=1))))
        if abs(float(local[nearest, :, 2].mean())) < 8.0:
            shape = shape.difference(shapely.Polygon(local[nearest, :, :2]).buffer(0))
    return _prism(shape, flange.frame, 0.0, flange.thickness_mm)


def _chamber(plenum: Plenum) -> tuple[Array, npt.NDArray[np.int32]]:
    """The plenum's walls, open at both ends."""
    x, y = plenum.centre_mm
    corner = min(plenum.corner_radius_mm, plenum.width_mm / 2 - 1.0, plenum.height_mm / 2 - 1.0)
    core = shapely.box(
        x - plenum.width_mm / 2 + corner, y - plenum.height_mm / 2 + corner,
        x + plenum.width_mm / 2 - corner, y + plenum.height_mm / 2 - corner,
    )  # fmt: skip
    walls = core.buffer(corner + plenum.wall_mm).difference(core.buffer(corner))
    return _prism(walls, plenum.frame, plenum.floor_mm, plenum.depth_mm)


def _prism(
    shape: shapely.Geometry, frame: Frame, from_mm: float, height_mm: float
) -> tuple[Array, npt.NDArray[np.int32]]:
    parts = [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, shapely.Polygon) and part.area > 1.0]
    bodies = [trimesh.creation.extrude_polygon(part, height_mm, engine="manifold") for part in parts]
    local = np.concatenate([np.asarray(body.vertices) for body in bodies]) + np.array([0.0, 0.0, from_mm])
    before = np.cumsum([0, *(len(body.vertices) for body in bodies[:-1])])
    faces = np.concatenate([np.asarray(body.faces) + first for body, first in zip(bodies, before, strict=True)])
    return frame.to_world(local), faces.astype(np.int32)


def _add(scene: trimesh.Scene, name: str, vertices: Array, faces: npt.NDArray[np.int32], tones: Array) -> None:
    colours = np.tile(tones, (len(vertices), 1)) if tones.ndim == 1 else tones
    body = trimesh.Trimesh(
        np.asarray(vertices) * SHOWN_PER_MM, faces, vertex_colors=colours.astype(np.uint8), process=False
    )
    scene.add_geometry(body, geom_name=name)


def _glb(scene: trimesh.Scene) -> bytes:
    return cast("bytes", scene.export(file_type="glb", tree_postprocessor=_matt))


def _matt(tree: dict[str, Any]) -> None:
    """Bodies without a material of their own are matt: the format's default is a mirror."""
    materials = tree.setdefault("materials", [])
    materials.append({"pbrMetallicRoughness": {"metallicFactor": 0.0, "roughnessFactor": 0.9}, "doubleSided": True})
    for body in tree["meshes"]:
        for part in body["primitives"]:
            part.setdefault("material", len(materials) - 1)
