"""Channels: how deep each is sunk, where it is drilled, where its fitting stands, what metal it asks of the flange."""

from collections.abc import Sequence
from math import atan2, ceil, degrees, floor

import numpy as np
import shapely

from tractwright.design.boss_hole import RUNOUT_PITCHES, is_taper
from tractwright.design.channel import Channel
from tractwright.design.channel_space import FLAT_BEYOND_MM, end_mm, half_mm, length_between, opening, outside_mm
from tractwright.design.file import Held
from tractwright.geometry.contours import Contour, polyline
from tractwright.geometry.frames import Frame, vec3
from tractwright.geometry.offsets import offset_contour
from tractwright.geometry.outlines import Outline
from tractwright.job.channel_tables import ChannelFacts
from tractwright.job.sheet import JobSheet
from tractwright.route.course.records import KeyWay
from tractwright.route.layout.outlines import Point, bar, disc
from tractwright.standards.npt import taper_pipe_thread, taper_pipe_threads
from tractwright.standards.threads import thread

_THREAD_DIAMETERS = 1.5
"""Full thread for a fitting in light alloy, in diameters. Source: common_practice."""
_FACE_MM = 3.0
"""Metal wanted over and under a drilling in the flange. Source: common_practice."""
_RECESS_SHARE = 0.35
_INTO_MM = 0.5
_LEAST_POST_MM = 3.0
_FOOT_MM = 3.5
_MORE_LAND_MM = 1.0
_ROUND_BORE_MM = 3.5
_PAST_EDGE_MM = 1.0
_SWING = {"out": 2.3, "edge": 1.7}
"""What turns a fitting, in thread diameters: a socket over one that stands out; in the edge, with the head beside it, an open
spanner from the outer side, so that only the fitting's own corners turn. Source: common_practice."""


def channels_on(
    joint: str, facts: Sequence[ChannelFacts], shapes: Sequence[Contour], thickness_mm: float, held: Held
) -> tuple[Channel, ...]:
    """The channels through one flange. shapes : what its outline goes round without them. Raises TableError."""
    ground = shapely.union_all([shapely.Polygon(polyline(shape, 0.05)) for shape in shapes])
    return tuple(_channel(joint, item, ground, thickness_mm, held) for item in facts)


def _channel(joint: str, facts: ChannelFacts, ground: shapely.Geometry, thick: float, held: Held) -> Channel:
    name = facts.name.strip().replace(" ", "_")
    path = f"channel.{name}"
    port = facts.port_at_mm or facts.at_mm
    drilled = facts.leaves == "edge" or length_between(port, facts.at_mm) > 1e-6
    bore = held.number(f"{path}.bore_mm", facts.bore_mm or _bore(facts, thick, drilled))
    level = held.number(f"{path}.level_mm", thick / 2.0) if drilled else 0.0
    recess = level + bore / 2.0 + _INTO_MM if drilled else ceil(2.0 * _RECESS_SHARE * thick) / 2.0
    plug = (facts.plug or _plug(bore)) if drilled and facts.leaves == "out" else ""
    way = _way(facts, port)
    full = _full_mm(facts.thread)
    under = thick - (level + bore / 2.0 if drilled else recess)
    outside = outside_mm(facts.thread)
    return Channel(
        name=name,
        joint=joint,
        fluid=facts.fluid,
        place=facts.leaves,
        at_mm=facts.at_mm,
        outline=_outline(facts),
        turn_deg=facts.turn_deg,
        recess_mm=held.number(f"{path}.recess_mm", recess),
        bore_mm=bore,
        port_mm=port,
        height_mm=held.number(f"{path}.height_mm", _height(facts, full, under, bore)),
        post_mm=held.number(f"{path}.post_mm", facts.post_mm or ceil(max(1.6 * outside, outside + 6.0))),
        way_deg=way,
        edge_mm=held.number(f"{path}.edge_mm", _edge(facts, way, plug or facts.thread, ground)) if drilled else 0.0,
        level_mm=level,
        thread=facts.thread,
        thread_mm=held.number(f"{path}.thread_mm", full),
        plug=plug,
        swing_mm=facts.swing_mm or float(ceil(_SWING[facts.leaves] * outside)),
        reach_mm=facts.reach_mm,
    )


def _outline(facts: ChannelFacts) -> Outline:
    return Outline(
        kind=facts.shape,
        width_mm=facts.width_mm,
        height_mm=facts.height_mm or facts.width_mm,
        corner_radius_mm=facts.corner_radius_mm if facts.shape == "rounded_rectangle" else 0.0,
    )


def _bore(facts: ChannelFacts, thick: float, drilled: bool) -> float:
    """As wide as the thread's drill and the opening are; in the flange no wider than it and what closes it leave metal [mm]."""
    drill = (
        taper_pipe_thread(facts.thread).drill_reamed_mm if is_taper(facts.thread) else thread(facts.thread).tap_drill_mm
    )
    least = min(drill, facts.width_mm, facts.height_mm or facts.width_mm)
    if not drilled:
        return least
    closes = [size.drill_reamed_mm for size in taper_pipe_threads() if size.pipe_outside_mm <= thick - 2.0 * _FACE_MM]
    plugged = max(closes, default=taper_pipe_threads()[0].drill_reamed_mm) if facts.leaves == "out" else least
    return max(floor(10.0 * min(least, plugged, thick - 2.0 * _FACE_MM)) / 10.0, 2.0)


def _plug(bore_mm: float) -> str:
    """The smallest taper plug whose hole is as wide as the drilling, the largest where none is."""
    closing = [size for size in taper_pipe_threads() if size.drill_reamed_mm >= bore_mm - 1e-6]
    return f"{(closing or taper_pipe_threads()[-1:])[0].designation} NPT"


def _full_mm(name: str) -> float:
    return taper_pipe_thread(name).full_internal_mm if is_taper(name) else _THREAD_DIAMETERS * thread(name).major_mm


def _height(facts: ChannelFacts, full: float, under: float, bore: float) -> float:
    """How high a fitting that stands out must stand for its thread [mm]; no lower post than a cutter leaves."""
    if facts.leaves == "edge":
        return 0.0
    taper = is_taper(facts.thread)
    drill = taper_pipe_thread(facts.thread).drill_reamed_mm if taper else thread(facts.thread).tap_drill_mm
    pitch = taper_pipe_thread(facts.thread).pitch_mm if taper else thread(facts.thread).pitch_mm
    more = full + (RUNOUT_PITCHES * pitch if bore < drill - 1e-6 else 0.0) - under
    return max(ceil(2.0 * more) / 2.0, _LEAST_POST_MM) if more > 0.0 else 0.0


def _way(facts: ChannelFacts, port: Point) -> float:
    """The direction of the drilling in the flange [deg]: through the fitting, or as the sheet has it."""
    if facts.leaves == "edge":
        away = 90.0 if facts.at_mm[1] >= 0.0 else -90.0
        return facts.towards_deg if facts.towards_deg is not None else away
    return degrees(atan2(port[1] - facts.at_mm[1], port[0] - facts.at_mm[0]))


def _edge(facts: ChannelFacts, way_deg: float, closing: str, ground: shapely.Geometry) -> float:
    """How far from the opening the drilling comes out [mm]: past all metal of the flange that a cutter would meet there, and
    past the fitting's own.
    """
    c, s = float(np.cos(np.radians(way_deg))), float(np.sin(np.radians(way_deg)))
    wide = half_mm(closing) + FLAT_BEYOND_MM + 1.0
    x0, y0 = facts.at_mm
    own = [shapely.Point(facts.at_mm).buffer(max(facts.width_mm, facts.height_mm or 0.0) / 2.0 + 5.0)]
    if facts.port_at_mm is not None:
        outside = outside_mm(facts.thread)
        post = facts.post_mm or ceil(max(1.6 * outside, outside + 6.0))
        own.append(shapely.Point(facts.port_at_mm).buffer(post / 2.0 + _FOOT_MM))
    whole = shapely.union_all([ground, *own])
    turned = shapely.affinity.affine_transform(whole, [c, s, -s, c, -c * x0 - s * y0, s * x0 - c * y0])
    strip = turned.intersection(shapely.box(0.0, -wide, 5000.0, wide))
    return ceil(2.0 * (strip.bounds[2] + _PAST_EDGE_MM)) / 2.0


def arms(channels: Sequence[Channel], ports: Sequence[Point], sheet: JobSheet) -> list[Contour]:
    """What the flange's outline goes round for its channels: lands of the gasket, posts, metal round drillings."""
    found = lands(channels, ports, sheet.head.gasket_land_mm + _MORE_LAND_MM)
    for channel in channels:
        if channel.place == "out":
            found.append(disc(channel.port_mm, channel.post_mm / 2.0 + _FOOT_MM))
            if channel.edge_mm > 0.0:
                found.append(bar(channel.at_mm, channel.port_mm, channel.bore_mm / 2.0 + _ROUND_BORE_MM))
        if channel.edge_mm > 0.0:
            found.append(bar(channel.at_mm, end_mm(channel), half_mm(channel.plug or channel.thread)))
    return found


def lands(channels: Sequence[Channel], ports: Sequence[Point], land_mm: float) -> list[Contour]:
    """Each opening grown by a land, and a bar to the nearest port, that the outline is one."""
    found: list[Contour] = []
    for channel in channels:
        least = min(channel.outline.width_mm, channel.outline.height_mm)
        nearest = min(ports, key=lambda port: length_between(port, channel.at_mm))
        found += [offset_contour(opening(channel), land_mm), bar(channel.at_mm, nearest, least / 2.0 + land_mm / 2.0)]
    return found


def ways_to(channel: Channel, frame: Frame, thickness_mm: float) -> list[KeyWay]:
    """What runners leave free over a fitting that stands out."""
    if channel.place == "edge":
        return []
    base = vec3(frame.to_world((*channel.port_mm, thickness_mm)))
    post = KeyWay(
        start_mm=base, direction=frame.z, length_mm=channel.height_mm, radius_mm=channel.post_mm / 2.0 + _FOOT_MM
    )
    top = vec3(frame.to_world((*channel.port_mm, thickness_mm + channel.height_mm)))
    free = KeyWay(start_mm=top, direction=frame.z, length_mm=channel.reach_mm, radius_mm=channel.swing_mm / 2.0 + 1.0)
    return [post, free]
