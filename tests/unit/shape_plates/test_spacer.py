"""An insulating spacer as a solid: its volume in closed form, its least wall measured on it."""

from math import pi, radians, tan

import numpy as np
import pytest
import shapely
from check_cases import SHEET, described_case, found

from tractwright.geometry.contours import contour_area
from tractwright.kernel.measure import volume
from tractwright.kernel.sections import plane_section
from tractwright.shape.parts.spacer import built_spacer

SPACER = '[spacer]\nthickness = "8 mm"\n'
SLOTS = '[head]\nslots = "outer"\nslot = "2 mm"\n'


def _case(folder, rise, more=""):
    lean = SHEET.replace('screw_rise = "34 mm"', f'screw_rise = "34 mm"\nport_rise = "{rise} deg"')
    return described_case(folder, lean + SPACER + more)


@pytest.mark.parametrize("rise", [0.0, 20.0])
def test_volume_of_a_spacer(tmp_path, rise):
    """Cavalieri: an opening that leans through takes as much as one that goes straight; a circle square to a leaning axis
    is drawn on the face as the sheet has it.
    """
    case = _case(tmp_path, rise)
    (spacer,) = case.design.spacers
    built = built_spacer(spacer, case.design)
    holes = sum(pi / 4 * s.clearance_mm**2 for s in case.design.screws if s.joint == "head")
    openings = 3 * pi / 4 * 36.0**2
    assert volume(built.solid.opened()) == pytest.approx(
        (contour_area(spacer.contour) - openings - holes) * 8.0, rel=1e-6
    )


def test_slots_go_through_it(tmp_path):
    case = _case(tmp_path, 0.0, SLOTS)
    (spacer,) = case.design.spacers
    built = built_spacer(spacer, case.design)
    taken = sum(
        pi / 4 * s.clearance_mm**2 + s.clearance_mm * s.slot_mm for s in case.design.screws if s.joint == "head"
    )
    assert any(screw.slot_mm > 0.0 for screw in case.design.screws)
    assert built.volume_mm3 == pytest.approx(
        (contour_area(spacer.contour) - 3 * pi / 4 * 36.0**2 - taken) * 8.0, rel=1e-6
    )


def test_a_leaning_opening_meets_head_and_runner(tmp_path):
    """On the head where the sheet places it, y = 0; at the flange 8 tan 20 further up; edges in both sections measured."""
    case = _case(tmp_path, 20.0)
    (spacer,) = case.design.spacers
    solid = built_spacer(spacer, case.design).solid.opened()
    frame = case.design.banks[0].frame
    for height, up in ((-7.999, 0.0), (-0.001, 8.0 * tan(radians(20.0)))):
        section = plane_section(solid, frame.moved((0.0, 0.0, height)))
        middles = [shapely.Polygon(loop).centroid for loop in section.loops_mm]
        assert min(abs(middle.x) + abs(middle.y - up) for middle in middles) < 0.01


def test_least_land_on_the_solid_is_the_rules(tmp_path):
    """Each port's rim to the nearest other edge of the metal, on sections at both faces, against seal.gasket_land."""
    case = _case(tmp_path, 20.0)
    (spacer,) = case.design.spacers
    solid = built_spacer(spacer, case.design).solid.opened()
    (land,) = found(case, "seal.gasket_land").values()
    least = min(_least_land(solid, case.design.banks[0].frame.moved((0.0, 0.0, z))) for z in (-7.999, -0.001))
    assert least == pytest.approx(land.measured, abs=0.05)


def _least_land(solid, plane):
    rings = [shapely.LinearRing(loop) for loop in plane_section(solid, plane).loops_mm]
    ports = [ring for ring in rings if abs(np.ptp(np.asarray(ring.coords)[:, 0]) - 36.0) < 0.5]
    others = shapely.MultiLineString([ring for ring in rings if ring not in ports])
    assert len(ports) == 3
    return min(port.distance(others) for port in ports)
