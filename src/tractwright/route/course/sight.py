"""The courses as seen from their poles: stations, curvature, length, turn, and the slopes of each on the poles."""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.route.course.kernels import curvature_terms
from tractwright.route.course.packed import Packed
from tractwright.route.course.stations import LEAD, Stations
from tractwright.route.course.unknowns import Bounds, Posed, posed


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Sight:
    """place : faces and poles; scale of the unknowns; points (n, k, 3) with leads, curve (n, m, 3) without, tangent
    (n, m, 3) unit.

    speed (n, m) = |first derivative|; curvature [1/mm], tightness (see kernels) (n, m); length (n,) leads counted;
    turn (n,) [rad]; third (n, m, 3). *_on_poles: slopes on the curve's eight poles (..., 8, 3).
    """

    place: Posed
    scale: Array
    points: Array
    curve: Array
    tangent: Array
    speed: Array
    speed_on_poles: Array
    curvature: Array
    curvature_on_poles: Array
    tightness: Array
    tightness_on_poles: Array
    third: Array
    length: Array
    length_on_poles: Array
    turn: Array
    turn_on_poles: Array


def seen(packed: Packed, bounds: Bounds, stations: Stations, x: Array) -> Sight:
    """The courses at scaled unknowns x."""
    place = posed(packed, bounds, x)
    poles = np.ascontiguousarray(place.poles[:, 1:9])
    points = stations.value @ place.poles
    first, second, third = stations.d1 @ poles, stations.d2 @ poles, stations.d3 @ poles
    speed = np.sqrt(np.einsum("nmd,nmd->nm", first, first) + 1e-12)
    sizes = (stations.half_wide, stations.half_least, stations.wide, packed.wall)
    curvature, c1, c2, tightness, t1, t2 = curvature_terms(first, second, *sizes)
    speed_on = _on_poles(stations.d1, first / speed[..., None])
    curvature_on = _on_poles(stations.d1, c1) + _on_poles(stations.d2, c2)
    turning_on = speed[..., None, None] * curvature_on + curvature[..., None, None] * speed_on
    return Sight(
        place=place,
        scale=bounds.scale,
        points=points,
        curve=points[:, LEAD:-LEAD],
        tangent=first / speed[..., None],
        speed=speed,
        speed_on_poles=speed_on,
        curvature=curvature,
        curvature_on_poles=curvature_on,
        tightness=tightness,
        tightness_on_poles=_on_poles(stations.d1, t1) + _on_poles(stations.d2, t2),
        third=third,
        length=speed @ stations.weight + packed.lead + packed.mouth_lead,
        length_on_poles=np.einsum("m,nmcd->ncd", stations.weight, speed_on),
        turn=(speed * curvature) @ stations.weight,
        turn_on_poles=np.einsum("m,nmcd->ncd", stations.weight, turning_on),
    )


def _on_poles(basis: Array, slope: Array) -> Array:
    return basis[:, :, None] * slope[:, :, None, :]
