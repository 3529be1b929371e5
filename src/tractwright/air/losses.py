"""Losses and end corrections of passages, from published tables. SI units."""

import csv
from functools import cache
from importlib.resources import files

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

MACHINED_DARCY = 0.0185  # colebrook_1939: Re 1e5, roughness 1e-4 of the bore
CAST_DARCY = 0.0222  # colebrook_1939: Re 1e5, roughness 1e-3 of the bore
FLANGED_END = 0.8216  # norris_sheng_1989: extension over radius, pipe flush in a wall
UNFLANGED_END = 0.6127  # levine_schwinger_1948: extension over radius, free thin-walled end
PLATE_SHARE = 0.90  # engine_judgement: throttle plate, shaft and entry together


@cache
def _table(name: str) -> tuple[Array, Array]:
    """First two columns of a table of the package."""
    text = files("tractwright.standards").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    rows = list(csv.reader(text.splitlines()))[1:]
    return np.array([float(row[0]) for row in rows]), np.array([float(row[1]) for row in rows])


def entry_loss(radius_over_bore: float) -> float:
    """Loss coefficient of a pipe's entry from a wide space, on the pipe's speed. Source: idelchik_1989."""
    places, values = _table("inlet_rounding")
    return float(np.interp(radius_over_bore, places, values))


def throat_of_loss(loss: float) -> float:
    """Effective throat over pipe area whose sudden widening makes the same loss: 1 / sqrt(1 + K)."""
    return 1.0 / float(np.sqrt(1.0 + loss))


def bend_loss(arc: Array, curvature: Array, bore: Array) -> float:
    """Loss coefficient of a bent course: curvature [1/m] and bore [m] at places `arc` [m] along it.

    Each bit of turn takes its share of the 90 degree bend of the same radius. Radii under one bore count as one bore.
    Source: crane_tp410.
    """
    places, values = _table("bend_loss")
    ratio = 1.0 / np.maximum(curvature * bore, 1e-9)
    each = np.interp(ratio, places, values) * MACHINED_DARCY / (0.5 * np.pi)
    return float(np.trapezoid(each * curvature, arc))


def valve_discharge(lift_over_diameter: Array) -> Array:
    """Discharge coefficient on the curtain area. Source: valve_discharge_memory (unverified)."""
    places, values = _table("valve_discharge")
    return np.interp(lift_over_diameter, places, values)


def plate_share(open_deg: float) -> float:
    """Effective throat over bore of a thin throttle plate that is shut square to its bore."""
    return PLATE_SHARE * (1.0 - float(np.cos(np.radians(open_deg))))


def with_plate(share: float, open_deg: float) -> float:
    """The throat that loses as much as one of that share and a throttle plate one behind the other, on one pipe's speed."""
    plate = plate_share(open_deg)
    return throat_of_loss(1.0 / share**2 + 1.0 / plate**2 - 2.0)


def mouth_extension(bore: float, lip_radius: float, end: float = FLANGED_END) -> float:
    """Length [m] to add to a pipe for the air that swings in front of its rounded mouth: flush in a wall, or free.

    Counted from the mouth's plane, on the pipe's own area. The flare within the lip weighs less than the pipe it replaces,
    the air in front of the widened mouth more: both as inertance (length over area). end : extension over radius of the
    plain pipe. Source: norris_sheng_1989, levine_schwinger_1948.
    """
    radius = 0.5 * bore
    depth = np.linspace(0.0, lip_radius, 201)
    local = radius + lip_radius - np.sqrt(lip_radius**2 - depth**2)
    flare = float(np.trapezoid((radius / local) ** 2, depth)) if lip_radius > 0.0 else 0.0
    widest = radius + lip_radius
    return flare - lip_radius + end * widest * (radius / widest) ** 2
