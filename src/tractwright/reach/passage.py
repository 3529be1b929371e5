"""Reach of cutters into a passage from both its ends, by trying tool placings against its surface and what is round it."""

from dataclasses import dataclass
from math import pi

import numpy as np
import numpy.typing as npt
from numpy.typing import NDArray

from tractwright.design.records import Design, Runner
from tractwright.design.tube import Tube, tube_at
from tractwright.geometry.frames import Array, unit
from tractwright.job.shop_tables import Cutter, Shop
from tractwright.reach.cutters import shop_cutters, stickout_limit
from tractwright.reach.kernels import least_distances, least_stickouts
from tractwright.reach.records import INSET_MM, PassageReach, PassageVerdict

_BLOCK = 5
_HOLDER_MM = 20.0
_FIT_MM = 0.2
_BEYOND_HOLDER_MM = 2.0
_TILTS = {"3-axis": (0.0,), "rotary axis": tuple(range(-40, 41, 8)), "tilting table": tuple(range(-40, 41, 8))}
_SIDEWAYS = {"3-axis": (0.0,), "rotary axis": (0.0,), "tilting table": (-14.0, 0.0, 14.0)}
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
    length = bore.to_mm - bore.from_mm
    stations = np.linspace(bore.from_mm + INSET_MM, bore.to_mm - INSET_MM, max(12, int(length / fineness.station_mm)))
    model = tube_at(runner, design, stations, fineness.clocks)
    rings = np.linspace(bore.from_mm, bore.to_mm, max(40, int(length / fineness.skin_mm)))
    skin = tube_at(runner, design, rings, fineness.skin_clocks).inner_mm.reshape(-1, 3)
    return reach_through(shop, (bore.piece, runner.name), model, skin, bore.around)


def reach_through(shop: Shop, names: tuple[str, str], model: Tube, skin: Array, around: Array) -> PassageReach:
    """Reach into one passage. names : of piece and passage; model : the passage at its stations, from the port; skin (n, 3) :
    points spread over the whole of its wall; around (n, 3) : of what stands round it.
    """
    cutters = _fair_sized(shop_cutters(shop), model)
    fits = {cutter.name: _fits(model, cutter, skin) for cutter in cutters}
    outwards = (-model.tangent[0], model.tangent[-1])
    near, far = np.ascontiguousarray(skin.T), np.ascontiguousarray(around.T)
    placings = _Placings(shop=shop, model=model, cutters=cutters, fits=fits, near=near, far=far)
    straight = [_from_end(placings, out[None, :], side) for side, out in enumerate(outwards)]
    if _meets(shop, cutters, straight):
        return _verdict(shop, names, model.s_mm, cutters, straight, "one piece")
    tilted = [_from_end(placings, _directions(shop, out), side) for side, out in enumerate(outwards)]
    verdict = "needs tilt" if _meets(shop, cutters, tilted) else "must split"
    return _verdict(shop, names, model.s_mm, cutters, tilted, verdict)


def _fair_sized(cutters: tuple[Cutter, ...], model: Tube) -> tuple[Cutter, ...]:
    """Cutters worth trying: a small one reaches less deep, its stick-out being limited by its neck. All if none is left."""
    least = 0.2 * 2.0 * float(np.linalg.norm(model.inner_mm - model.centre_mm[:, None, :], axis=2).min())
    return tuple(cutter for cutter in cutters if cutter.diameter_mm >= least) or cutters


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Placings:
    """Everything a tool is tried against: fits (station, clock) by cutter, points (3, n) of the passage and of the piece."""

    shop: Shop
    model: Tube
    cutters: tuple[Cutter, ...]
    fits: dict[str, npt.NDArray[np.bool_]]
    near: Array
    far: Array


def _fits(model: Tube, cutter: Cutter, skin: Array) -> npt.NDArray[np.bool_]:
    """Whether the ball fits at each (station, clock): its centre stands a radius off the whole passage."""
    centres = _ball_centres(model, cutter)
    return (least_distances(centres, skin) >= cutter.diameter_mm / 2 - _FIT_MM).reshape(model.inner_mm.shape[:2])


def _ball_centres(model: Tube, cutter: Cutter) -> Array:
    along = np.gradient(model.inner_mm, axis=0)
    around = np.roll(model.inner_mm, -1, axis=1) - np.roll(model.inner_mm, 1, axis=1)
    normal = unit(np.cross(along, around))
    towards = np.sum(normal * (model.centre_mm[:, None, :] - model.inner_mm), axis=2, keepdims=True)
    inward = normal * np.where(towards < 0.0, -1.0, 1.0)
    return np.ascontiguousarray((model.inner_mm + inward * (cutter.diameter_mm / 2)).reshape(-1, 3))


def _from_end(placings: _Placings, directions: Array, side: int) -> dict[str, Array]:
    """For each cutter the stick-out it needs at each station, every clock angle counted; inf where it cannot.

    side : 0 from the port, 1 from the mouth. A cutter is followed inwards only until it is stopped.
    """
    found: dict[str, Array] = {}
    for cutter in placings.cutters:
        rows, clocks = placings.fits[cutter.name].shape
        inwards = np.arange(rows) if side == 0 else np.arange(rows)[::-1]
        centres = _ball_centres(placings.model, cutter).reshape(rows, clocks, 3)
        need = np.full(rows, np.inf)
        for block in np.array_split(inwards, max(1, rows // _BLOCK)):
            need[block] = _block_needs(placings, cutter, centres[block], placings.fits[cutter.name][block], directions)
            if not np.isfinite(need[block]).all():
                break
        found[cutter.name] = need
    return found


def _block_needs(
    placings: _Placings, cutter: Cutter, centres: Array, fits: NDArray[np.bool_], directions: Array
) -> Array:
    """The stick-out each of a few stations (n,) needs."""
    whole = fits.all(axis=1)
    need = np.full(len(centres), np.inf)
    if not whole.any():
        return need
    neck = cutter.neck_mm / 2 if cutter.kind == "undercutting" else cutter.neck_mm / 2 - _FIT_MM
    behind = cutter.diameter_mm / 2 + _BEYOND_HOLDER_MM
    longest = stickout_limit(placings.shop, cutter) - behind
    points = np.ascontiguousarray(centres[whole].reshape(-1, 3))
    straight = np.ascontiguousarray(directions)
    found = least_stickouts(points, straight, placings.near, placings.far, neck, _HOLDER_MM, longest)
    need[whole] = found.reshape(int(whole.sum()), -1).max(axis=1) + behind
    return need


def _meets(shop: Shop, cutters: tuple[Cutter, ...], ends: list[dict[str, Array]]) -> bool:
    limits = {cutter.name: stickout_limit(shop, cutter) for cutter in cutters}
    port, mouth = (_running(end, limits, side)[0] for side, end in enumerate(ends))
    return bool(np.isfinite(np.maximum(port, mouth)).any())


def _directions(shop: Shop, out: Array) -> Array:
    """Tool directions the machine can turn to about an end's own direction: about the row, and sideways."""
    row = unit(np.array([1.0, 0.0, 0.0]) - out * out[0])
    across = np.cross(out, row)
    found = []
    for tilt in _TILTS[shop.machine]:
        for side in _SIDEWAYS[shop.machine]:
            t, s = np.radians(tilt), np.radians(side)
            found.append((out * np.cos(t) + across * np.sin(t)) * np.cos(s) + row * np.sin(s))
    return np.array(found)


def _verdict(
    shop: Shop,
    names: tuple[str, str],
    stations: Array,
    cutters: tuple[Cutter, ...],
    ends: list[dict[str, Array]],
    verdict: PassageVerdict,
) -> PassageReach:
    limits = {cutter.name: stickout_limit(shop, cutter) for cutter in cutters}
    (port, port_by), (mouth, mouth_by) = (_running(end, limits, side) for side, end in enumerate(ends))
    reach_port, reach_mouth = _depth(port, stations), _depth(mouth[::-1], stations)
    meeting = None if verdict == "must split" else int(np.argmin(np.maximum(port, mouth)))
    used = None
    if meeting is not None:
        used = port_by[meeting] if port[meeting] >= mouth[meeting] else mouth_by[meeting]
    cutter = next((item for item in cutters if item.name == used), None)
    worst = None if meeting is None else float(max(port[meeting], mouth[meeting]))
    gap_middle = (reach_port + (stations[-1] + stations[0] - reach_mouth)) / 2
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


def _running(need: dict[str, Array], limits: dict[str, float], side: int) -> tuple[Array, list[str]]:
    """The stick-out needed to cut everything from this end up to each station by the best single cutter, and its name."""
    names = list(need)
    rows = []
    for name in names:
        values = need[name] if side == 0 else need[name][::-1]
        running = np.maximum.accumulate(values)
        running = np.where(running <= limits[name], running, np.inf)
        rows.append(running if side == 0 else running[::-1])
    table = np.array(rows)
    return table.min(axis=0), [names[k] for k in table.argmin(axis=0)]


def _depth(running: Array, stations: Array) -> float:
    """How deep from its own end a running stick-out stays finite [mm]."""
    reached = np.isfinite(running)
    count = int(np.argmin(reached)) if not reached.all() else len(reached)
    return float((stations[-1] - stations[0]) * count / len(stations))


def ledge(cutter: Cutter, stickout_mm: float) -> float:
    """Step to expect where two cuts meet [mm]: the neck's bending under a finishing force, and putting the part back.

    Cantilever F L^3 / (3 E I); force 20 N and 0.02 mm of putting back are judgement.
    """
    inertia = pi * cutter.neck_mm**4 / 64
    return _FINISHING_N * stickout_mm**3 / (3 * _CARBIDE_MPA * inertia) + _RELOCATION_MM
