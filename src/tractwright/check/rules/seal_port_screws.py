"""A gasket is pressed where screws stand: every port wants one on either side of it, near enough."""

from collections.abc import Iterator
from math import inf

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.channel import Channel
from tractwright.design.records import Joint, Port, Screw
from tractwright.geometry.frames import Array, Frame
from tractwright.geometry.outlines import outline_points
from tractwright.standards.threads import thread

_MOST_DIAMETERS = 10.0
_SHOWN_MOST = 100.0
_BOTH_SIDES = np.radians(200.0)
_RIM_POINTS = 36


def judge(case: Case) -> Iterator[Reading]:
    """One reading a gasket: the port or channel whose screws stand furthest from its rim, counted until they lie on both
    sides of it.
    """
    joints = {joint.name: joint for joint in case.design.joints}
    for seal in case.design.seals:
        screws = [screw for screw in case.design.screws if screw.joint == seal.joint]
        if seal.kind != "gasket" or not screws or not case.design.ports:
            continue
        ports = _ports(case, joints[seal.joint])
        far = {f"port.{port.name}": _reach(_frame(case, port), port, screws) for port in ports}
        channels = [item for item in case.design.channels if item.joint == seal.joint]
        far |= {f"channel.{item.name}": _reach(joints[seal.joint].frame, item, screws) for item in channels}
        worst = max(far, key=lambda name: far[name])
        yield Reading(
            subject=f"{worst}+seal.{seal.name}",
            measured=min(far[worst], _SHOWN_MOST),
            unit="diameters",
            at_most=_MOST_DIAMETERS,
            broken="look",
            message="No screws near enough on both sides press the gasket round this opening, and it may weep or blow: a screw "
            "on either side of it, or a thicker flange.",
        )


def _ports(case: Case, joint: Joint) -> list[Port]:
    """The ports of the bank that a joint lies on."""
    origin = np.array(joint.frame.origin_mm)
    bank = min(case.design.banks, key=lambda item: float(np.linalg.norm(np.array(item.frame.origin_mm) - origin)))
    return [port for port in case.design.ports if port.bank == bank.name] or list(case.design.ports)


def _frame(case: Case, port: Port) -> Frame:
    return next(bank.frame for bank in case.design.banks if bank.name == port.bank)


def _reach(frame: Frame, port: Port | Channel, screws: list[Screw]) -> float:
    """From its rim to the screw that closes it in, in thread diameters; infinite where they stand on one side only."""
    off = frame.to_local(np.array([screw.seat_mm for screw in screws]))[:, :2] - np.array(port.at_mm)
    rim = outline_points(port.outline, _RIM_POINTS)
    turn = np.radians(port.turn_deg)
    rim = rim @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    away = np.linalg.norm(off[:, None, :] - rim, axis=2).min(axis=1)
    share = away / np.array([thread(screw.thread).major_mm for screw in screws])
    order = np.argsort(share)
    for count in range(2, len(order) + 1):
        if _widest_gap(off[order[:count]]) <= _BOTH_SIDES:
            return float(share[order[count - 1]])
    return inf


def _widest_gap(off: Array) -> float:
    """The widest angle between neighbours seen from the port's middle [rad]."""
    angle = np.sort(np.arctan2(off[:, 1], off[:, 0]))
    return float(np.diff(angle, append=angle[0] + 2.0 * np.pi).max())


RULE = Rule(
    id="seal.port_screws",
    question="Do screws on both sides of every port and channel press its gasket?",
    limit="the nearest screws that have the port between them within 10 thread diameters of its rim; judgement",
    cure="a screw on either side of the port",
    bites_at="seal",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
