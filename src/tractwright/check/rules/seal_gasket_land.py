"""Gasket between a port and whatever is next to it."""

from collections.abc import Iterator

import numpy as np
import shapely

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Bank, Flange, Joint, Port
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, vec3
from tractwright.geometry.outlines import outline_points

_POINTS = 96
_CHORD_MM = 0.1


def judge(case: Case) -> Iterator[Reading]:
    """One reading a gasket: the port that lies nearest to a screw's hole or to the flange's edge."""
    joints = {joint.name: joint for joint in case.design.joints}
    for seal in case.design.seals:
        if seal.kind != "gasket":
            continue
        joint = joints[seal.joint]
        found = [item for port in _ports(case, joint) for item in _lands(case, joint, port)]
        if not found:
            continue
        nearest, land, place = min(found, key=lambda item: item[1])
        yield Reading(
            subject="+".join(sorted((nearest, f"seal.{seal.name}"))),
            measured=land,
            unit="mm",
            at_least=case.sheet.head.gasket_land_mm,
            at_mm=vec3(place),
            message="The gasket is so narrow beside a port that it blows or weeps there: more flange round the "
            "port, or the screw further away.",
        )


def _ports(case: Case, joint: Joint) -> list[Port]:
    bank = _bank(case, joint)
    return [port for port in case.design.ports if bank is not None and port.bank == bank.name]


def _bank(case: Case, joint: Joint) -> Bank | None:
    place = np.array(joint.frame.origin_mm)
    banks = case.design.banks
    return min(banks, key=lambda bank: float(np.linalg.norm(np.array(bank.frame.origin_mm) - place)), default=None)


def _lands(case: Case, joint: Joint, port: Port) -> Iterator[tuple[str, float, Array]]:
    """What lies beside a port, how far off, and where (job frame)."""
    bank = _bank(case, joint)
    frame = joint.frame if bank is None else bank.frame
    rim = _rim(port)
    for screw in case.design.screws:
        if screw.joint == joint.name:
            axis = frame.to_local(np.array(screw.seat_mm))[:2]
            off = np.linalg.norm(rim - axis, axis=1)
            place = frame.to_world(rim[int(np.argmin(off))])
            yield f"screw.{screw.name}", float(off.min()) - screw.clearance_mm / 2, place
    for flange in case.design.flanges:
        if flange.joint == joint.name:
            off = _to_edge(flange, rim)
            yield f"flange.{flange.name}", float(off.min()), frame.to_world(rim[int(np.argmin(off))])


def _rim(port: Port) -> Array:
    """A port's outline where it stands, bank x-y."""
    turn = np.radians(port.turn_deg)
    turned = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return outline_points(port.outline, _POINTS) @ turned + np.array(port.at_mm)


def _to_edge(flange: Flange, rim: Array) -> Array:
    """From points to a flange's edge, negative outside it."""
    region = shapely.Polygon(polyline(flange.contour, _CHORD_MM))
    points = shapely.points(rim)
    shapely.prepare(region)
    return np.where(shapely.contains(region, points), 1.0, -1.0) * shapely.distance(region.exterior, points)


RULE = Rule(
    id="seal.gasket_land",
    question="Is the gasket wide enough all round every port?",
    limit="head.gasket_land of the sheet, to screw holes and to the flange's edge",
    cure="more flange round the port",
    bites_at="seal",
    needs="description",
    source="common_practice",
    judge=judge,
)
