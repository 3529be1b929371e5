"""Tool placings tried against a passage's surface and what is round it: where a ball fits, what stick-out that needs."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from numpy.typing import NDArray

from tractwright.design.tube import Tube
from tractwright.geometry.frames import Array, unit, vec3
from tractwright.job.shop_tables import Cutter, Shop
from tractwright.reach.cutters import holder_radius, shop_cutters, stickout_limit
from tractwright.reach.kernels import least_distances, least_stickouts
from tractwright.reach.mills import mills_of, rotary_axis, turns_to

_BLOCK = 5
_FIT_MM = 0.2
_BEYOND_HOLDER_MM = 2.0
_TILTS_DEG, _SIDEWAYS_DEG = tuple(range(-40, 41, 8)), (-14.0, 0.0, 14.0)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Placings:
    """Everything a tool is tried against: fits (station, clock) by cutter, points (3, n) of the passage and of the piece."""

    shop: Shop
    model: Tube
    cutters: tuple[Cutter, ...]
    fits: dict[str, npt.NDArray[np.bool_]]
    near: Array
    far: Array


def placings_in(shop: Shop, model: Tube, skin: Array, around: Array) -> Placings:
    """Every fair-sized cutter of a shop in a passage. model : the passage at its stations, from the port; skin (n, 3) :
    points spread over the whole of its wall; around (n, 3) : of what stands round it.
    """
    cutters = _fair_sized(shop_cutters(shop), model)
    fits = {cutter.name: _fits(model, cutter, skin) for cutter in cutters}
    near, far = np.ascontiguousarray(skin.T), np.ascontiguousarray(around.T)
    return Placings(shop=shop, model=model, cutters=cutters, fits=fits, near=near, far=far)


def _fair_sized(cutters: tuple[Cutter, ...], model: Tube) -> tuple[Cutter, ...]:
    """Cutters worth trying: a small one reaches less deep, its stick-out being limited by its neck. All if none is left."""
    least = 0.2 * 2.0 * float(np.linalg.norm(model.inner_mm - model.centre_mm[:, None, :], axis=2).min())
    return tuple(cutter for cutter in cutters if cutter.diameter_mm >= least) or cutters


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


def from_end(placings: Placings, directions: Array, side: int) -> dict[str, Array]:
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
    placings: Placings, cutter: Cutter, centres: Array, fits: NDArray[np.bool_], directions: Array
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
    holder = holder_radius(placings.shop, cutter)
    found = least_stickouts(points, straight, placings.near, placings.far, neck, holder, longest)
    need[whole] = found.reshape(int(whole.sum()), -1).max(axis=1) + behind
    return need


def directions(shop: Shop, out: Array) -> Array:
    """Tool directions that one of the shop's mills can turn to from an end's own direction: about the row, and sideways."""
    row = rotary_axis(vec3(out))
    across = np.cross(out, row)
    mills, up = mills_of(shop), vec3(out)
    found = [out]
    for tilt in np.radians(_TILTS_DEG):
        for side in np.radians(_SIDEWAYS_DEG):
            way = (out * np.cos(tilt) + across * np.sin(tilt)) * np.cos(side) + row * np.sin(side)
            if any(turns_to(mill, up, vec3(way)) for mill in mills):
                found.append(way)
    return np.array(found)


def running(need: dict[str, Array], limits: dict[str, float], side: int) -> tuple[Array, list[str]]:
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


def depth(running: Array, stations: Array) -> float:
    """How deep from its own end a running stick-out stays finite [mm]."""
    reached = np.isfinite(running)
    count = int(np.argmin(reached)) if not reached.all() else len(reached)
    return float((stations[-1] - stations[0]) * count / len(stations))
