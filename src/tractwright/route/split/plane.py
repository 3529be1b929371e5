"""A plane across all runners of a bank, and what they leave in it."""

from dataclasses import dataclass
from math import acos, degrees

import numpy as np

from tractwright.design.passing import Pass, passes
from tractwright.design.records import Bank, Design, Runner
from tractwright.design.tube import Centreline, centreline, tube_at
from tractwright.geometry.frames import Array, Frame, frame_from_normal, unit

MOST_LEAN_DEG = 25.0
"""A runner that leans more to the plane leaves an opening too long for flange and seal. Source: shop_judgement."""
_WINDOW_MM = 48.0
_STEP_MM = 1.5
_ANGLES = 48


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Crossing:
    """A runner in the plane: its way through, its opening (m, 2) and its metal at the heights asked for (k, m, 2), frame x-y;
    lean_rad : the most its middle leans to the plane's normal between those heights.
    """

    runner: Runner
    way: Pass
    opening_mm: Array
    metal_mm: Array
    lean_rad: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class SplitPlane:
    """frame : origin midway between the crossings, x along their row, z the way the air does not go: from head to plenum;
    crossings : along x.
    """

    station_mm: float
    frame: Frame
    crossings: tuple[Crossing, ...]


def split_plane(design: Design, bank: Bank, station_mm: float, heights_mm: tuple[float, ...]) -> SplitPlane | None:
    """The plane that stands nearest to square to all runners of a bank where each has gone the same share of its length as
    the first has at that station; parallel to the row of ports. None where a runner does not go cleanly through it.
    """
    runners = [runner for runner in design.runners if runner.bank == bank.name]
    lines = {runner.name: centreline(runner, design) for runner in runners}
    share = station_mm / runners[0].length_mm
    wanted = {runner.name: share * lines[runner.name].length_mm for runner in runners}
    frame = _frame(bank, lines, wanted)
    found: list[Crossing] = []
    for runner in runners:
        crossing = _crossing(runner, design, (lines[runner.name], wanted[runner.name]), frame, heights_mm)
        if crossing is None:
            return None
        found.append(crossing)
    found.sort(key=lambda item: item.way.at_mm[0])
    return SplitPlane(station_mm=station_mm, frame=frame, crossings=tuple(found))


def _frame(bank: Bank, lines: dict[str, Centreline], wanted: dict[str, float]) -> Frame:
    row = np.array(bank.frame.x)
    places = np.array([_at(lines[name].points_mm, lines[name], s) for name, s in wanted.items()])
    ways = np.array([_at(lines[name].tangents, lines[name], s) for name, s in wanted.items()])
    along = ways.mean(axis=0)
    normal = unit(along - row * float(along @ row))
    first, last = places[np.argmin(places @ row)], places[np.argmax(places @ row)]
    hint = last - first if len(places) > 1 else row
    return frame_from_normal(places.mean(axis=0), normal, hint)


def _at(values: Array, line: Centreline, s_mm: float) -> Array:
    return np.array([np.interp(s_mm, line.s_mm, values[:, k]) for k in range(3)])


def _crossing(
    runner: Runner, design: Design, way_to: tuple[Centreline, float], frame: Frame, heights_mm: tuple[float, ...]
) -> Crossing | None:
    line, wanted = way_to
    ways = [item for item in passes(line, frame) if item.square > 0.0]
    if not ways:
        return None
    way = min(ways, key=lambda item: abs(item.station_mm - wanted))
    stations = way.station_mm + np.array([min(heights_mm), 0.0, max(heights_mm)])
    square = min(float(_at(line.tangents, line, float(s)) @ np.array(frame.z)) for s in stations)
    if degrees(acos(min(way.square, 1.0))) > MOST_LEAN_DEG or square <= 0.0:
        return None
    s = way.station_mm + np.arange(-_WINDOW_MM, _WINDOW_MM + _STEP_MM, _STEP_MM)
    model = tube_at(runner, design, s, _ANGLES)
    opening = _cut(frame.to_local(model.inner_mm), 0.0)
    metal = [_cut(frame.to_local(model.outer_mm), height) for height in heights_mm]
    if opening is None or any(ring is None for ring in metal):
        return None
    rings = np.array([ring for ring in metal if ring is not None])
    return Crossing(runner=runner, way=way, opening_mm=opening, metal_mm=rings, lean_rad=acos(min(square, 1.0)))


def _cut(skin: Array, height: float) -> Array | None:
    """Where a skin (n, m, 3) goes through a height of the frame (m, 2), counted from its middle; None where it does not."""
    over = skin[..., 2] - height
    rises = (over[:-1] < 0.0) & (over[1:] >= 0.0)
    if not rises.any(axis=0).all():
        return None
    index = np.arange(len(rises))[:, None]
    leg = np.argmin(np.where(rises, np.abs(index - len(rises) / 2), np.inf), axis=0)
    column = np.arange(skin.shape[1])
    low, high = skin[leg, column], skin[leg + 1, column]
    share = (height - low[:, 2]) / (high[:, 2] - low[:, 2])
    return (low + share[:, None] * (high - low))[:, :2]
