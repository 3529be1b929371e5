"""Reach of cutters into a passage from both its ends, by trying tool placings against its surface and what is round it."""

from dataclasses import dataclass, replace
from math import pi

import numpy as np

from tractwright.design.records import Design, Runner
from tractwright.design.tube import Tube, tube_at
from tractwright.geometry.frames import Array
from tractwright.job.shop_tables import Cutter, Shop
from tractwright.reach.cutters import stickout_limit
from tractwright.reach.parting import parted
from tractwright.reach.placings import Placings, depth, directions, from_end, placings_in, running
from tractwright.reach.records import INSET_MM, PassageReach, PassageVerdict

_CARBIDE_MPA = 600e3
_FINISHING_N = 20.0
_RELOCATION_MM = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Fineness:
    """How closely a passage is looked at: steps along it [mm] and points round it, of placings and of its surface."""

    station_mm: float
    clocks: int
    skin_mm: float
    skin_clocks: int


FINE = Fineness(station_mm=3.0, clocks=24, skin_mm=2.5, skin_clocks=72)
QUICK = Fineness(station_mm=5.0, clocks=12, skin_mm=4.0, skin_clocks=36)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Bore:
    """The passage of a runner in one piece: from joint face to joint face [mm], and points (n, 3) of what stands round it."""

    piece: str
    from_mm: float
    to_mm: float
    around: Array


def passage_reach(shop: Shop, design: Design, runner: Runner, bore: Bore, fineness: Fineness = FINE) -> PassageReach:
    """How far the shop's cutters come into a passage. Source: tool placings tried against sampled surfaces (computed)."""
    model, skin = _surface(design, runner, bore, fineness)
    return _reached((bore.piece, runner.name), placings_in(shop, model, skin, bore.around))


def passage_reach_parted(shop: Shop, design: Design, runner: Runner, bore: Bore) -> PassageReach:
    """The same, and where to part what must be split, both halves tried."""
    model, skin = _surface(design, runner, bore, FINE)
    return reach_through(shop, (bore.piece, runner.name), model, skin, bore.around)


def reach_through(shop: Shop, names: tuple[str, str], model: Tube, skin: Array, around: Array) -> PassageReach:
    """Reach into one passage, parted where it must be split. names : of piece and passage; model : the passage at its
    stations, from the port; skin (n, 3) : points spread over the whole of its wall; around (n, 3) : of what stands round it.
    """
    placings = placings_in(shop, model, skin, around)
    found = _reached(names, placings)
    if found.verdict != "must split":
        return found
    place, left = parted(placings, (found.reach_from_port_end_mm, found.reach_from_mouth_end_mm))
    return replace(found, split_at_mm=place, left_if_split_mm=left)


def _surface(design: Design, runner: Runner, bore: Bore, fineness: Fineness) -> tuple[Tube, Array]:
    """A passage at its stations, and points (n, 3) all over its wall."""
    length = bore.to_mm - bore.from_mm
    stations = np.linspace(bore.from_mm + INSET_MM, bore.to_mm - INSET_MM, max(12, int(length / fineness.station_mm)))
    rings = np.linspace(bore.from_mm, bore.to_mm, max(40, int(length / fineness.skin_mm)))
    skin = tube_at(runner, design, rings, fineness.skin_clocks).inner_mm.reshape(-1, 3)
    return tube_at(runner, design, stations, fineness.clocks), skin


def _reached(names: tuple[str, str], placings: Placings) -> PassageReach:
    shop, model, cutters = placings.shop, placings.model, placings.cutters
    outwards = (-model.tangent[0], model.tangent[-1])
    straight = [from_end(placings, out[None, :], side) for side, out in enumerate(outwards)]
    if _meets(shop, cutters, straight):
        return _verdict(shop, names, model.s_mm, cutters, straight, "one piece")
    tilted = [from_end(placings, directions(shop, out), side) for side, out in enumerate(outwards)]
    verdict = "needs tilt" if _meets(shop, cutters, tilted) else "must split"
    return _verdict(shop, names, model.s_mm, cutters, tilted, verdict)


def _meets(shop: Shop, cutters: tuple[Cutter, ...], ends: list[dict[str, Array]]) -> bool:
    limits = {cutter.name: stickout_limit(shop, cutter) for cutter in cutters}
    port, mouth = (running(end, limits, side)[0] for side, end in enumerate(ends))
    return bool(np.isfinite(np.maximum(port, mouth)).any())


def _verdict(
    shop: Shop,
    names: tuple[str, str],
    stations: Array,
    cutters: tuple[Cutter, ...],
    ends: list[dict[str, Array]],
    verdict: PassageVerdict,
) -> PassageReach:
    limits = {cutter.name: stickout_limit(shop, cutter) for cutter in cutters}
    (port, port_by), (mouth, mouth_by) = (running(end, limits, side) for side, end in enumerate(ends))
    reach_port, reach_mouth = depth(port, stations), depth(mouth[::-1], stations)
    meeting = None if verdict == "must split" else int(np.argmin(np.maximum(port, mouth)))
    used = None
    if meeting is not None:
        used = port_by[meeting] if port[meeting] >= mouth[meeting] else mouth_by[meeting]
    cutter = next((item for item in cutters if item.name == used), None)
    gap_middle = (reach_port + (stations[-1] + stations[0] - reach_mouth)) / 2
    worst = None if meeting is None else float(max(port[meeting], mouth[meeting]))
    return PassageReach(
        piece=names[0],
        runner=names[1],
        verdict=verdict,
        stations_mm=tuple(float(s) for s in stations),
        stickout_from_port_mm=tuple(float(v) for v in port),
        stickout_from_mouth_mm=tuple(float(v) for v in mouth),
        meeting_line_mm=None if meeting is None else float(stations[meeting]),
        split_at_mm=float(gap_middle) if meeting is None else None,
        reach_from_port_end_mm=reach_port,
        reach_from_mouth_end_mm=reach_mouth,
        ledge_mm=None if cutter is None or worst is None else ledge(cutter, worst),
        cutter=used or "",
        stickout_over_neck=None if cutter is None or worst is None else worst / cutter.neck_mm,
        stickout_over_head=None if cutter is None or worst is None else worst / cutter.diameter_mm,
    )


def ledge(cutter: Cutter, stickout_mm: float) -> float:
    """Step to expect where two cuts meet [mm]: the neck's bending under a finishing force, and putting the part back.

    Cantilever F L^3 / (3 E I); force 20 N and 0.02 mm of putting back are judgement.
    """
    inertia = pi * cutter.neck_mm**4 / 64
    return _FINISHING_N * stickout_mm**3 / (3 * _CARBIDE_MPA * inertia) + _RELOCATION_MM
