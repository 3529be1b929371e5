"""What hangs on the runners, roughly: mass by plain volumes, stiffness as beams. For rules that need no solid."""

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from tractwright.check.case import Case
from tractwright.design.manifolds import manifolds
from tractwright.design.records import Plenum, Runner
from tractwright.geometry.contours import contour_area
from tractwright.standards.materials import Material, material

_RUNNER_SHARE = 0.24
"""Share of a cantilever's own mass that moves as if it hung at its end: Rayleigh's estimate. Source key: leissa_1973."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanging:
    """A plenum on its runners: mass [kg], and the stiffness [N/mm] of the runners as beams held at the head."""

    mass_kg: float
    stiffness_n_mm: float

    @property
    def frequency_hz(self) -> float:
        """At which it nods on the head."""
        return sqrt(1000.0 * self.stiffness_n_mm / self.mass_kg) / (2.0 * pi)


def hanging(case: Case, plenum: Plenum) -> Hanging:
    """A plenum with its floor, walls, cover and neck on its runners; columns and throttle body are left out."""
    metal = material(case.sheet.shop.material)
    runners = [runner for runner in case.design.runners if runner.mouth.plenum == plenum.name]
    tubes = sum(_tube_mm3(case, runner) for runner in runners)
    volume = _walls_mm3(plenum) + _plates_mm3(case, plenum) + _neck_mm3(case, plenum)
    return Hanging(
        mass_kg=(volume + _RUNNER_SHARE * tubes) * metal.density_kg_mm3,
        stiffness_n_mm=sum(_stiffness_n_mm(case, runner, metal) for runner in runners),
    )


def _walls_mm3(plenum: Plenum) -> float:
    round_it = 2.0 * (plenum.width_mm + plenum.height_mm) - (8.0 - 2.0 * pi) * plenum.corner_radius_mm
    return (round_it + pi * plenum.wall_mm) * plenum.wall_mm * plenum.depth_mm


def _plates_mm3(case: Case, plenum: Plenum) -> float:
    """Every flange of its manifold but those on heads."""
    pieces = {name for part in manifolds(case.design) if plenum.name in part.plena for name in part.pieces}
    heads = {joint.name for joint in case.design.joints if joint.kind == "head"}
    plates = [flange for flange in case.design.flanges if flange.joint not in heads and flange.piece in pieces]
    return sum(abs(contour_area(flange.contour)) * flange.thickness_mm for flange in plates)


def _neck_mm3(case: Case, plenum: Plenum) -> float:
    necks = [throttle for throttle in case.design.throttles if throttle.plenum == plenum.name]
    return sum(pi * (neck.bore_mm + plenum.wall_mm) * plenum.wall_mm * neck.neck_mm for neck in necks)


def _tube_mm3(case: Case, runner: Runner) -> float:
    model = case.tubes[runner.name]
    bore = np.sqrt(4.0 * model.area_mm2 / pi)
    return float(np.trapezoid(pi * (bore + model.wall_mm) * model.wall_mm, model.s_mm))


def _stiffness_n_mm(case: Case, runner: Runner, metal: Material) -> float:
    """Force at the mouth that moves it 1 mm sideways: the beam's flexibility summed along it, integral of s^2/(E I)."""
    model = case.tubes[runner.name]
    free = (model.s_mm >= runner.port_lead_mm) & (model.s_mm <= runner.length_mm - runner.mouth_lead_mm)
    bore = np.sqrt(4.0 * model.area_mm2[free] / pi)
    inertia = pi / 64.0 * ((bore + 2.0 * model.wall_mm[free]) ** 4 - bore**4)
    from_mouth = runner.length_mm - runner.mouth_lead_mm - model.s_mm[free]
    return 1.0 / float(np.trapezoid(from_mouth**2 / (metal.modulus_mpa * inertia), model.s_mm[free]))
