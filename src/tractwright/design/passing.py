"""Where a runner's centreline goes through a plane, and through a flange."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import dist

import numpy as np
import shapely

from tractwright.design.records import Bank, Design, Flange, Joint, Runner
from tractwright.design.tube import Centreline
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, Frame

_NEAR_MM = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One way through. station_mm : along the centreline from the head face; at_mm : in the plane's x-y; square : cosine
    between the runner's way and the plane's z: 1 square along it, -1 square against it.
    """

    station_mm: float
    at_mm: tuple[float, float]
    square: float


def passes(line: Centreline, frame: Frame) -> tuple[Pass, ...]:
    """Every way of a centreline through a frame's x-y, and an end that lies within a millimetre of it, by station."""
    local, way = frame.to_local(line.points_mm), line.tangents @ np.array(frame.z)
    here, there = local[:-1, 2], local[1:, 2]
    leg = np.flatnonzero((here * there <= 0.0) & (here != there))
    share = here[leg] / (here[leg] - there[leg])
    found = [_between(line, local, way, int(k), float(part)) for k, part in zip(leg, share, strict=True)]
    for end in (0, -1):
        s = float(line.s_mm[end])
        if abs(local[end, 2]) < _NEAR_MM and all(abs(s - item.station_mm) > _NEAR_MM for item in found):
            found.append(Pass(station_mm=s, at_mm=(float(local[end, 0]), float(local[end, 1])), square=float(way[end])))
    return tuple(sorted(found, key=lambda item: item.station_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """The part of a runner between two flanges of one piece, by their places in a list."""

    first: Pass
    last: Pass
    flanges: tuple[int, int]


def part_between(line: Centreline, flanges: Sequence[Flange]) -> Part | None:
    """From the flange a centreline goes away from to the last one it comes to; None where it has not both."""
    met = [(found, i) for i, item in enumerate(flanges) if (found := pass_through(line, item)) is not None]
    first = min((item for item in met if item[0].square > 0.0), key=lambda item: item[0].station_mm, default=None)
    last = max((item for item in met if item[0].square < 0.0), key=lambda item: item[0].station_mm, default=None)
    if first is None or last is None:
        return None
    return Part(first=first[0], last=last[0], flanges=(first[1], last[1]))


def pass_through(line: Centreline, flange: Flange) -> Pass | None:
    """The first way of a centreline through a flange's joint face, inside its contour."""
    region = shapely.Polygon(polyline(flange.contour))
    inside = (item for item in passes(line, flange.frame) if region.contains(shapely.Point(item.at_mm)))
    return next(inside, None)


def bank_of(joint: Joint, design: Design) -> Bank:
    """The bank that a joint at a head, or the joint across the runners of that head's piece, belongs to."""
    own = {joint.pieces[0]} if joint.kind == "split" else set(joint.pieces)
    on_head = [item for item in design.joints if item.kind == "head" and own & set(item.pieces)]
    at = joint if joint.kind == "head" or not on_head else on_head[0]
    return min(design.banks, key=lambda item: dist(item.frame.origin_mm, at.frame.origin_mm))


def runners_through(joint: Joint, design: Design) -> tuple[Runner, ...]:
    """The runners that go through a joint: those of its bank at a head and across the runners, those of the plenum whose floor
    lies on it, all at any other.
    """
    over = {plenum.name for plenum in design.plena if plenum.frame == joint.frame}
    if over:
        return tuple(runner for runner in design.runners if runner.mouth.plenum in over)
    if joint.kind not in ("head", "split") or len(design.banks) < 2:
        return design.runners
    bank = bank_of(joint, design)
    return tuple(runner for runner in design.runners if runner.bank == bank.name)


def _between(line: Centreline, local: Array, way: Array, leg: int, share: float) -> Pass:
    x, y, _ = local[leg] + share * (local[leg + 1] - local[leg])
    s = line.s_mm[leg] + share * (line.s_mm[leg + 1] - line.s_mm[leg])
    return Pass(
        station_mm=float(s), at_mm=(float(x), float(y)), square=float(way[leg] + share * (way[leg + 1] - way[leg]))
    )
