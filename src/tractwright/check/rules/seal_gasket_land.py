"""Gasket between a port and whatever is next to it."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.edges import to_edge_mm
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Bank, Joint, Port
from tractwright.design.seated import port_moved
from tractwright.geometry.frames import Array, vec3
from tractwright.geometry.outlines import outline_points

_POINTS = 72


def judge(case: Case) -> Iterator[Reading]:
    """One reading a gasket: the port that lies nearest to a screw's hole or to the flange's edge; over a spacer also where
    the ports come out on the head.
    """
    joints = {joint.name: joint for joint in case.design.joints}
    for seal in case.design.seals:
        bank = _bank(case, joints[seal.joint]) if seal.kind == "gasket" else None
        ports = [port for port in case.design.ports if bank is not None and port.bank == bank.name]
        if bank is None or not ports:
            continue
        under = [port_moved(port, bank, -bank.spacer_mm) for port in ports] if bank.spacer_mm else []
        rims = np.concatenate([_rim(port) for port in (*ports, *under)])
        lands = _to_screws(case, joints[seal.joint], bank, rims) | _to_edges(case, joints[seal.joint], rims)
        if not lands:
            continue
        nearest = min(lands, key=lambda name: float(lands[name].min()))
        place = rims[int(np.argmin(lands[nearest]))]
        yield Reading(
            subject="+".join(sorted((nearest, f"seal.{seal.name}"))),
            measured=float(lands[nearest].min()),
            unit="mm",
            at_least=case.sheet.head.gasket_land_mm,
            at_mm=vec3(bank.frame.to_world(place)),
            message="The gasket is so narrow beside a port that it blows or weeps there: more flange round the port, or the "
            "screw further away.",
        )


def _bank(case: Case, joint: Joint) -> Bank | None:
    place = np.array(joint.frame.origin_mm)
    banks = case.design.banks
    return min(banks, key=lambda bank: float(np.linalg.norm(np.array(bank.frame.origin_mm) - place)), default=None)


def _to_screws(case: Case, joint: Joint, bank: Bank, rims: Array) -> dict[str, Array]:
    """From each point of the ports' rims to the edge of each screw's hole."""
    screws = [screw for screw in case.design.screws if screw.joint == joint.name]
    axes = [bank.frame.to_local(np.array(screw.seat_mm))[:2] for screw in screws]
    return {
        f"screw.{screw.name}": np.linalg.norm(rims - axis, axis=1) - screw.clearance_mm / 2
        for screw, axis in zip(screws, axes, strict=True)
    }


def _to_edges(case: Case, joint: Joint, rims: Array) -> dict[str, Array]:
    """From each point of the ports' rims to the edge of each flange, negative outside it."""
    return {
        f"flange.{flange.name}": to_edge_mm(flange.contour, rims)
        for flange in case.design.flanges
        if flange.joint == joint.name
    }


def _rim(port: Port) -> Array:
    """A port's outline where it stands, bank x-y."""
    turn = np.radians(port.turn_deg)
    turned = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return outline_points(port.outline, _POINTS) @ turned + np.array(port.at_mm)


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
