"""An insulating spacer: pressed by its screws, passed by heat. Plain conduction, one kelvin between head and flange."""

from math import pi, radians, tan

import numpy as np
import shapely

from tractwright.design.records import Design, Screw
from tractwright.design.spacer import Spacer
from tractwright.design.spacer_space import joint_of, metal_mm2, through
from tractwright.geometry.contours import polyline
from tractwright.job.sheet import JobSheet
from tractwright.standards.materials import material
from tractwright.standards.spacer_materials import spacer_material
from tractwright.standards.threads import thread
from tractwright.strength.records import ScrewLoad, SpacerLoad
from tractwright.strength.screws import seat_ring_mm

LASTING_SHARE = 0.25
"""Share of its short, cold strength that a laminate or plastic bears for good when warm. Source key: shop_judgement."""
CONE_HALF_DEG = 30.0
"""Half angle at which a head's pressure spreads in a plate. Source key: shop_judgement."""
GASKET_W_MK = 0.4
"""Conduction of a pressed sheet gasket. Source key: memory."""
_CHORD_MM = 0.02


def spacer_load(spacer: Spacer, design: Design, sheet: JobSheet, loads: tuple[ScrewLoad, ...]) -> SpacerLoad:
    """Pressure under its worst screw, its mass, and the heat past it. Raises TableError for a material no table holds."""
    held = spacer_material(spacer.material)
    screws = [screw for screw in design.screws if screw.joint == spacer.joint]
    clamps = {load.screw: load.clamp_stated_n for load in loads}
    pressed = {screw.name: clamps[screw.name] / pressed_mm2(screw, spacer, design) for screw in screws}
    worst = max(pressed, key=lambda name: pressed[name], default="")
    area, gasket = metal_mm2(spacer, design), sheet.head.gasket_mm
    one_gasket = GASKET_W_MK * area / gasket * 1e-3 if gasket else 0.0
    return SpacerLoad(
        spacer=spacer.name,
        joint=spacer.joint,
        screw=worst,
        pressure_mpa=pressed.get(worst, 0.0),
        limit_mpa=LASTING_SHARE * held.compressive_mpa,
        mass_kg=area * spacer.thickness_mm * held.density_kg_m3 * 1e-9,
        spacer_w_k=held.conductivity_w_mk * area / spacer.thickness_mm * 1e-3,
        gaskets_w_k=one_gasket / 2.0,
        screws_w_k=_screws_w_k(screws, spacer.thickness_mm + 2.0 * gasket),
        bare_w_k=one_gasket + _screws_w_k(screws, gasket),
    )


def pressed_mm2(screw: Screw, spacer: Spacer, design: Design) -> float:
    """What of a spacer a screw presses on [mm2]: a cone from under its head through the flange, no more than is there."""
    joint, found = joint_of(spacer, design), through(spacer, design)
    x, y, _ = joint.frame.to_local(screw.seat_mm)
    outer, _ = seat_ring_mm(screw)
    radius = outer / 2.0 + screw.grip_mm * tan(radians(CONE_HALF_DEG))
    plate = shapely.Polygon(
        polyline(spacer.contour, _CHORD_MM),
        [polyline(hole, _CHORD_MM) for hole in (*found.openings, *found.holes)],
    )
    angles = np.linspace(0.0, 2.0 * pi, 360, endpoint=False)
    disc = shapely.Polygon(np.column_stack([x + radius * np.cos(angles), y + radius * np.sin(angles)]))
    return max(float(plate.buffer(0.0).intersection(disc).area), 1e-9)


def _screws_w_k(screws: list[Screw], between_mm: float) -> float:
    """Heat along the shanks from the head's thread to under their heads, of the flange's metal and what lies under it."""
    steel = material("steel").conductivity_w_mk
    return sum(
        steel * pi / 4.0 * thread(screw.thread).major_mm ** 2 / (screw.grip_mm + between_mm) * 1e-3 for screw in screws
    )
