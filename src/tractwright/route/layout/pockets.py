"""Pockets in the head flange: metal between screws, ports and edge that carries nothing, taken out to save weight."""

from collections.abc import Iterator

import numpy as np
import shapely

from tractwright.design.channel import Channel
from tractwright.design.channel_space import end_mm, half_mm, opening
from tractwright.design.records import Design, Flange, Pocket, Runner
from tractwright.design.tube import centreline, tube_at
from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, polyline
from tractwright.geometry.offsets import offset_contour
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.outlines import bar, disc
from tractwright.route.layout.screws import head_radius

_ROOT_LAND_MM = 0.5
_FOOT_MM = 3.0
_LEAST_DEPTH_MM = 1.5
_LEAST_AREA_MM2 = 120.0
"""Smaller ones are not worth a cutter's while. Source: common_practice."""
_STRAIGHTENED_MM = 0.8
_SHORTEST_MM = 1.0


def pockets(design: Design, sheet: JobSheet) -> tuple[Pocket, ...]:
    """The pockets of every head flange, where the sheet asks for them."""
    if not sheet.head.pockets:
        return ()
    kinds = {joint.name: joint.kind for joint in design.joints}
    ours = {piece.name for piece in design.pieces if not piece.own}
    found: list[Pocket] = []
    for flange in design.flanges:
        depth = flange.thickness_mm - sheet.head.pocket_floor_mm
        if kinds[flange.joint] == "head" and flange.piece in ours and depth >= _LEAST_DEPTH_MM:
            outlines = _outlines(free_ground(design, flange, sheet.head.pocket_land_mm), sheet.head.pocket_corner_mm)
            found += [
                Pocket(name=f"{flange.name}.k{number}", flange=flange.name, contour=outline, depth_mm=depth)
                for number, outline in enumerate(outlines, start=1)
            ]
    return tuple(found)


def free_ground(design: Design, flange: Flange, land_mm: float) -> shapely.Geometry:
    """The part of a flange's outer face that no screw, post, pin, runner root or edge needs, in its x-y."""
    ground: shapely.Geometry = shapely.Polygon(polyline(flange.contour)).buffer(-land_mm)
    taken: list[shapely.Geometry] = []
    for screw in design.screws:
        if screw.joint == flange.joint:
            foot = _FOOT_MM if screw.standoff_mm > 0.0 else 0.0
            wide = max(screw.post_mm / 2.0 + foot, head_radius(screw.thread), screw.counterbore_mm / 2.0)
            taken.append(_disc(flange, screw.seat_mm, max(wide, screw.clearance_mm / 2.0 + screw.slot_mm) + land_mm))
    for dowel in design.dowels:
        if dowel.joint == flange.joint:
            taken.append(_disc(flange, dowel.at_mm, dowel.diameter_mm / 2.0 + land_mm))
    for channel in design.channels:
        if channel.joint == flange.joint:
            taken += [_grown(shape, land_mm) for shape in _of_channel(channel)]
    taken += [root for runner in design.runners if (root := _root(runner, design, flange)) is not None]
    return shapely.difference(ground, shapely.union_all(taken))


def _of_channel(channel: Channel) -> list[Contour]:
    """What a channel needs of its flange, in the flange's x-y."""
    found: list[Contour] = [opening(channel)]
    if channel.place == "out":
        found.append(disc(channel.port_mm, channel.post_mm / 2.0 + _FOOT_MM))
    if channel.edge_mm > 0.0:
        found.append(bar(channel.at_mm, end_mm(channel), half_mm(channel.plug or channel.thread)))
    return found


def _grown(shape: Contour, by_mm: float) -> shapely.Geometry:
    return shapely.Polygon(polyline(shape)).buffer(by_mm, quad_segs=32)


def _disc(flange: Flange, at_mm: tuple[float, float, float], radius: float) -> shapely.Geometry:
    x, y, _ = flange.frame.to_local(at_mm)
    return shapely.Point(float(x), float(y)).buffer(radius, quad_segs=32)


def _root(runner: Runner, design: Design, flange: Flange) -> shapely.Geometry | None:
    """What a runner's skin with its root blend takes of the face; None where it does not stand on this flange."""
    reach = flange.thickness_mm + 2.0 * runner.port_blend_mm
    s = np.arange(-1.0, min(4.0 * reach, centreline(runner, design).length_mm), 1.0)
    skin = flange.frame.to_local(tube_at(runner, design, s, 64).outer_mm)
    here = (skin[..., 2] > -0.1) & (skin[..., 2] < reach)
    if not here.any() or not shapely.Polygon(polyline(flange.contour)).intersects(shapely.MultiPoint(skin[0, :, :2])):
        return None
    hull = shapely.MultiPoint(skin[here][:, :2]).convex_hull
    return hull.buffer(runner.port_blend_mm + _ROOT_LAND_MM, quad_segs=16)


def _outlines(ground: shapely.Geometry, corner_mm: float) -> Iterator[Contour]:
    """Outlines inside the ground that a cutter of the corner's radius goes round, largest first."""
    cores = [part for part in _parts(shapely.buffer(ground, -corner_mm - _STRAIGHTENED_MM)) if part.area > 1.0]
    found: list[tuple[float, Contour]] = []
    for core in cores:
        straight = shapely.Polygon(core.exterior).simplify(_STRAIGHTENED_MM)
        outline = _rounded(straight, corner_mm)
        if outline is not None:
            area = shapely.Polygon(polyline(outline))
            if area.area >= _LEAST_AREA_MM2 and shapely.buffer(ground, 0.01).contains(area):
                found.append((area.area, outline))
    yield from (outline for _, outline in sorted(found, key=lambda item: (-round(item[0], 3), item[1][0])))


def _rounded(core: shapely.Geometry, corner_mm: float) -> Contour | None:
    """The core grown by a corner's radius: straight sides and round corners; None where that does not come out."""
    corners = shapely.get_coordinates(shapely.orient_polygons(core))[:-1]
    keep = np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1) > _SHORTEST_MM
    if keep.sum() < 3:
        return None
    try:
        return offset_contour(tuple((float(x), float(y), 0.0) for x, y in corners[keep]), corner_mm)
    except KernelError:
        return None


def _parts(ground: shapely.Geometry) -> list[shapely.Polygon]:
    return [part for part in shapely.get_parts(ground).tolist() if isinstance(part, shapely.Polygon)]
