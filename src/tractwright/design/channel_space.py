"""A channel in space: its opening, its drillings, the metal they take, the flange's metal they ask for."""

from math import cos, hypot, radians, sin

import numpy as np

from tractwright.design.boss_hole import thread_sizes
from tractwright.design.channel import Channel, Drilling
from tractwright.design.records import Design, Flange
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Vec3, unit, vec3
from tractwright.geometry.outlines import outline_contour
from tractwright.standards.npt import taper_pipe_thread

_NARROWER_MM = 0.4
"""The drilling to a fitting is so much narrower than the one it meets: drills of one width leave knife edges."""
FLAT_BEYOND_MM = 8.0
"""A flat in the edge is milled so much wider to either side than its metal: the outline's fillets beside it go too. Source:
shop_judgement."""


def flange_of(channel: Channel, design: Design) -> Flange:
    """The head flange a channel goes through."""
    return next(flange for flange in design.flanges if flange.joint == channel.joint)


def opening(channel: Channel) -> Contour:
    """The opening's outline in the joint's x-y."""
    c, s = cos(radians(channel.turn_deg)), sin(radians(channel.turn_deg))
    x0, y0 = channel.at_mm
    return tuple((x0 + x * c - y * s, y0 + x * s + y * c, bulge) for x, y, bulge in outline_contour(channel.outline))


def way(channel: Channel) -> Array:
    """The direction of the drilling in the flange, in the joint's x-y."""
    return np.array([cos(radians(channel.way_deg)), sin(radians(channel.way_deg))])


def end_mm(channel: Channel) -> tuple[float, float]:
    """Where the drilling in the flange comes out of its edge."""
    x, y = np.array(channel.at_mm) + way(channel) * channel.edge_mm
    return float(x), float(y)


def drillings(channel: Channel, design: Design) -> tuple[Drilling, ...]:
    """Its holes, the fitting's first, in the job frame."""
    return drillings_in(channel, flange_of(channel, design))


def drillings_in(channel: Channel, flange: Flange) -> tuple[Drilling, ...]:
    """The same in a flange that is at hand."""
    along = _along(channel, flange) if channel.edge_mm > 0.0 else None
    if channel.place == "edge":
        return (along,) if along is not None else ()
    top = flange.thickness_mm + channel.height_mm
    floor = channel.level_mm if along is not None else channel.recess_mm - 0.5
    out = Drilling(
        start_mm=vec3(flange.frame.to_world((*channel.port_mm, top))),
        out=flange.frame.z,
        thread=channel.thread,
        thread_mm=channel.thread_mm,
        hole_mm=channel.bore_mm - (_NARROWER_MM if along is not None else 0.0),
        hole_depth_mm=top - floor,
    )
    return (out,) if along is None else (out, along)


def _along(channel: Channel, flange: Flange) -> Drilling:
    """The drilling in the flange, from its edge to the middle of the opening."""
    plugged = channel.place == "out"
    closing = channel.plug if plugged else channel.thread
    full = taper_pipe_thread(closing).full_internal_mm if plugged else channel.thread_mm
    return Drilling(
        start_mm=vec3(flange.frame.to_world((*end_mm(channel), channel.level_mm))),
        out=vec3(flange.frame.turn((*way(channel), 0.0))),
        thread=closing,
        thread_mm=full,
        hole_mm=channel.bore_mm,
        hole_depth_mm=channel.edge_mm,
    )


def half_mm(thread: str) -> float:
    """Half the width of the flange's metal round a drilling in it [mm]: a seat for what is screwed in, and 3 mm round the
    thread. Source key: common_practice.
    """
    outside = outside_mm(thread)
    return max(0.8 * outside + 1.0, outside / 2.0 + 3.0)


def flat_half_mm(channel: Channel) -> float:
    """Half the width of the flat milled in the edge round its drilling's mouth [mm]."""
    return half_mm(channel.plug or channel.thread) + FLAT_BEYOND_MM


def outside_mm(thread: str) -> float:
    """Diameter of a thread outside [mm]. Raises TableError."""
    sizes = thread_sizes(
        Drilling(
            start_mm=(0.0, 0.0, 0.0), out=(0.0, 0.0, 1.0), thread=thread, thread_mm=0.0, hole_mm=1.0, hole_depth_mm=1.0
        )
    )
    return 2.0 * sizes.outside_mm if sizes is not None else 0.0


def cylinders(drilling: Drilling) -> list[tuple[float, float, float]]:
    """What a drilling takes of the metal: from, to, radius along it, inwards from its mouth [mm]."""
    found = [(0.0, drilling.hole_depth_mm, drilling.hole_mm / 2.0)]
    if drilling.thread:
        found.append((0.0, drilling.thread_mm, outside_mm(drilling.thread) / 2.0))
    return found


def fitting(channel: Channel, design: Design) -> tuple[Vec3, Vec3]:
    """Where the fitting is screwed in, and the way it comes out, job frame."""
    first = drillings(channel, design)[0]
    return first.start_mm, first.out


def post_points(channel: Channel, flange: Flange, step_mm: float) -> Array:
    """Points (n, 3) on the post under a fitting; none where it is flush or in the edge."""
    if channel.place == "edge" or channel.height_mm <= 0.0:
        return np.zeros((0, 3))
    turn = np.linspace(0.0, 2.0 * np.pi, max(12, int(channel.post_mm * 3.2 / step_mm)), endpoint=False)
    heights = np.linspace(flange.thickness_mm, flange.thickness_mm + channel.height_mm, 4)
    ring = np.column_stack([np.cos(turn), np.sin(turn)]) * channel.post_mm / 2.0 + np.array(channel.port_mm)
    points = np.empty((len(ring), len(heights), 3))
    points[..., :2], points[..., 2] = ring[:, None, :], heights
    return flange.frame.to_world(points.reshape(-1, 3))


def across(out: Vec3) -> tuple[Array, Array]:
    """Two directions square to an axis and to each other."""
    axis = np.array(out)
    first = unit(np.cross(axis, np.eye(3)[int(np.argmin(np.abs(axis)))]))
    return first, np.cross(axis, first)


def length_between(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Distance of two places in a plane [mm]."""
    return hypot(one[0] - other[0], one[1] - other[1])
