"""Gasket round a channel's opening: what leaks there leaks into a port, along a screw, or out."""

from collections.abc import Iterator

import numpy as np
import shapely

from tractwright.check.case import Case
from tractwright.check.edges import to_edge_mm
from tractwright.check.finding import Reading, Rule
from tractwright.design.channel import Channel
from tractwright.design.channel_space import flange_of, opening
from tractwright.design.seated import port_moved
from tractwright.design.spacer_space import port_contour
from tractwright.geometry.contours import Contour, polyline, spread_points
from tractwright.geometry.frames import Frame, vec3

_POINTS = 180
_CHORD_MM = 0.01


def judge(case: Case) -> Iterator[Reading]:
    """One reading a channel: the port, screw, other channel or edge nearest to its opening."""
    for channel in case.design.channels:
        frame, rim = flange_of(channel, case.design).frame, spread_points(opening(channel), _POINTS)
        edge = to_edge_mm(flange_of(channel, case.design).contour, rim)
        lands = _lands(case, channel) | {f"flange.{flange_of(channel, case.design).name}": float(edge.min())}
        nearest = min(lands, key=lambda name: lands[name])
        yield Reading(
            subject="+".join(sorted((f"channel.{channel.name}", nearest))),
            measured=lands[nearest],
            unit="mm",
            at_least=case.sheet.head.gasket_land_mm,
            at_mm=vec3(frame.to_world(channel.at_mm)),
            message="The gasket is so narrow beside its opening that it weeps or blows there: move one of the two, or make "
            "the opening smaller.",
        )


def _lands(case: Case, channel: Channel) -> dict[str, float]:
    """From the opening to ports, to screws' holes and to other openings."""
    frame = flange_of(channel, case.design).frame
    mine = _region(opening(channel))
    found = _to_ports(case, frame, mine)
    for screw in case.design.screws:
        if screw.joint == channel.joint:
            x, y, _ = frame.to_local(np.array(screw.seat_mm))
            found[f"screw.{screw.name}"] = _apart(mine, shapely.Point(x, y)) - screw.clearance_mm / 2.0
    for other in case.design.channels:
        if other.joint == channel.joint and other.name != channel.name:
            found[f"channel.{other.name}"] = _apart(mine, _region(opening(other)))
    return found


def _to_ports(case: Case, frame: Frame, mine: shapely.Polygon) -> dict[str, float]:
    """To the ports of the head under this frame, on a spacer's outer face and on the head."""
    found: dict[str, float] = {}
    for bank in (item for item in case.design.banks if item.frame == frame):
        for port in (item for item in case.design.ports if item.bank == bank.name):
            both = (port, port_moved(port, bank, -bank.spacer_mm))
            found[f"port.{port.name}"] = min(_apart(mine, _region(port_contour(there))) for there in both)
    return found


def _region(contour: Contour) -> shapely.Polygon:
    return shapely.Polygon(polyline(contour, _CHORD_MM))


def _apart(one: shapely.Polygon, other: shapely.Polygon | shapely.Point) -> float:
    """Distance of two outlines, negative where they overlap."""
    return -1.0 if one.intersects(other) else float(one.distance(other))


RULE = Rule(
    id="seal.channel_land",
    question="Is the gasket wide enough round every channel's opening?",
    limit="head.gasket_land of the sheet, to ports, screws' holes, other openings and the flange's edge",
    cure="another place, a smaller opening",
    bites_at="seal",
    needs="description",
    source="common_practice",
    judge=judge,
)
