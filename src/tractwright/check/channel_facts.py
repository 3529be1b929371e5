"""Metal round channels: to the air's passages, to screws, to one another, to the faces and edges of their flange."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

import numpy as np
import shapely

from tractwright.check.case import Case
from tractwright.check.edges import to_edge_mm
from tractwright.check.finding import Fix
from tractwright.check.screw_distances import along_and_off, hole_to_passage, holes_of
from tractwright.design.channel import Channel, Drilling
from tractwright.design.channel_space import (
    across,
    cylinders,
    drillings,
    flange_of,
    half_mm,
    opening,
    outside_mm,
)
from tractwright.geometry.contours import polyline, spread_points
from tractwright.geometry.frames import Array, Vec3, vec3

_STEP_MM = 0.4
_AROUND = 72
_CHORD_MM = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """A thickness of metal [mm], to what ('' where it is to a face or edge of the flange), and where (job frame)."""

    mm: float
    to: str
    what: str
    at_mm: Vec3


FACE = "a face of the flange"
_MOST_FLANGE_MM = 25.0
"""A flange is made no thicker than this for a channel's sake. Source: shop_judgement."""


def thicker_flange(case: Case, channel: Channel, thickness_mm: float) -> Fix | None:
    """The channel's flange made so thick, to the half above; None where that is more than a channel is worth."""
    thick = ceil(2.0 * thickness_mm) / 2.0
    if thick > _MOST_FLANGE_MM:
        return None
    path = f"flange.{flange_of(channel, case.design).name}.thickness_mm"
    return Fix(path=path, value=thick, what=f"flange {thick:g} mm thick for channel {channel.name}")


def to_air(case: Case, channel: Channel) -> Metal:
    """Least metal between a channel and the passages of the runners."""
    found = [_recess_to_air(case, channel)]
    for hole in drillings(channel, case.design):
        gap = hole_to_passage(np.array(hole.start_mm), -np.array(hole.out), cylinders(hole), case.tubes)
        found.append(Metal(mm=gap.mm, to=gap.subject, what="the air", at_mm=vec3(gap.place)))
    return min(found, key=lambda item: item.mm)


def _recess_to_air(case: Case, channel: Channel) -> Metal:
    flange = flange_of(channel, case.design)
    outline = shapely.Polygon(polyline(opening(channel), _CHORD_MM))
    best = Metal(mm=20.0, to="", what="the air", at_mm=flange.frame.origin_mm)
    for name, model in case.tubes.items():
        points = flange.frame.to_local(model.inner_mm.reshape(-1, 3))
        near = points[points[:, 2] < channel.recess_mm + 20.0]
        if not len(near):
            continue
        beside = shapely.distance(outline, shapely.points(near[:, :2]))
        inside = shapely.contains_xy(outline, near[:, 0], near[:, 1])
        beside = np.where(inside, -shapely.distance(outline.exterior, shapely.points(near[:, :2])), beside)
        over = np.maximum(near[:, 2] - channel.recess_mm, 0.0)
        off = np.where(over > 0.0, np.hypot(np.maximum(beside, 0.0), over), beside)
        worst = int(np.argmin(off))
        if off[worst] < best.mm:
            place = vec3(flange.frame.to_world(near[worst]))
            best = Metal(mm=float(off[worst]), to=f"runner.{name}", what="the air", at_mm=place)
    return best


def least_metal(case: Case, channel: Channel) -> Metal:
    """Least metal between a channel and everything else: screws, other channels, edges and faces of its flange."""
    return min(_metals(case, channel), key=lambda item: item.mm)


def _metals(case: Case, channel: Channel) -> Iterator[Metal]:
    points = surface_points(channel, case)
    for screw in case.design.screws:
        if screw.joint != channel.joint:
            continue
        along, off = along_and_off(points, np.array(screw.seat_mm), np.array(screw.direction))
        gap = np.min([_to_cylinder(along, off, hole) for hole in holes_of(screw)], axis=0)
        worst = int(np.argmin(gap))
        yield Metal(mm=float(gap[worst]), to=f"screw.{screw.name}", what="a screw's hole", at_mm=vec3(points[worst]))
    for other in case.design.channels:
        if other.name != channel.name and other.joint == channel.joint:
            gap = _to_channel(points, other, case)
            worst = int(np.argmin(gap))
            yield Metal(
                mm=float(gap[worst]), to=f"channel.{other.name}", what="another channel", at_mm=vec3(points[worst])
            )
    yield from _to_flange(case, channel)


def _to_flange(case: Case, channel: Channel) -> Iterator[Metal]:
    """To the outer face over the recess, to both faces beside a drilling, to the edge, to a post's side."""
    flange, frame = flange_of(channel, case.design), flange_of(channel, case.design).frame
    middle = vec3(frame.to_world((*channel.at_mm, channel.recess_mm)))
    rim = spread_points(opening(channel), 180)
    edge = to_edge_mm(flange.contour, rim)
    place = vec3(frame.to_world(rim[int(np.argmin(edge))]))
    yield Metal(mm=float(edge.min()), to="", what="the flange's edge", at_mm=place)
    yield Metal(mm=flange.thickness_mm - channel.recess_mm, to="", what="the flange's outer face", at_mm=middle)
    if channel.place == "out":
        top = vec3(frame.to_world((*channel.port_mm, flange.thickness_mm + channel.height_mm)))
        wide = max(outside_mm(channel.thread), channel.bore_mm) / 2.0
        if channel.height_mm > 0.0:
            yield Metal(mm=channel.post_mm / 2.0 - wide, to="", what="the side of its post", at_mm=top)
        beside = to_edge_mm(flange.contour, np.array([channel.port_mm]))
        yield Metal(mm=float(beside[0]) - wide, to="", what="the flange's edge", at_mm=top)
    if channel.edge_mm > 0.0:
        closing = channel.plug or channel.thread
        wide = max(outside_mm(closing), channel.bore_mm) / 2.0
        mouth = drillings(channel, case.design)[-1].start_mm
        least = min(channel.level_mm, flange.thickness_mm - channel.level_mm) - wide
        yield Metal(mm=least, to="", what=FACE, at_mm=mouth)
        yield Metal(mm=half_mm(closing) - wide, to="", what="the flange's edge", at_mm=mouth)


def surface_points(channel: Channel, case: Case) -> Array:
    """Points (n, 3) on the walls of a channel's opening and drillings, threads at their outside."""
    flange = flange_of(channel, case.design)
    ring = spread_points(opening(channel), 180)
    heights = np.arange(0.0, channel.recess_mm + _STEP_MM, _STEP_MM).clip(max=channel.recess_mm)
    wall = np.concatenate([np.column_stack([ring, np.full(len(ring), z)]) for z in heights])
    found = [flange.frame.to_world(wall)]
    found += [_drilled_points(hole) for hole in drillings(channel, case.design)]
    return np.concatenate(found)


def _drilled_points(hole: Drilling) -> Array:
    first, second = across(hole.out)
    turn = np.linspace(0.0, 2.0 * np.pi, _AROUND, endpoint=False)
    round_it = np.cos(turn)[:, None] * first + np.sin(turn)[:, None] * second
    found = []
    for start, end, radius in cylinders(hole):
        for deep in np.arange(start, end + _STEP_MM, _STEP_MM).clip(max=end):
            found.append(np.array(hole.start_mm) - deep * np.array(hole.out) + radius * round_it)
    return np.concatenate(found)


def _to_channel(points: Array, other: Channel, case: Case) -> Array:
    """From points to another channel's opening and drillings."""
    flange = flange_of(other, case.design)
    local = flange.frame.to_local(points)
    outline = shapely.Polygon(polyline(opening(other), _CHORD_MM))
    beside = shapely.distance(outline, shapely.points(local[:, :2]))
    least = np.hypot(beside, np.maximum(local[:, 2] - other.recess_mm, 0.0))
    for hole in drillings(other, case.design):
        along, off = along_and_off(points, np.array(hole.start_mm), -np.array(hole.out))
        for cylinder in cylinders(hole):
            least = np.minimum(least, _to_cylinder(along, off, cylinder))
    return least


def _to_cylinder(along: Array, off: Array, hole: tuple[float, float, float]) -> Array:
    start, end, radius = hole
    beyond = np.maximum(np.maximum(start - along, along - end), 0.0)
    return np.where(beyond > 0.0, np.hypot(np.maximum(off - radius, 0.0), beyond), off - radius)
