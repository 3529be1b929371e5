"""What a runner has at its two ends."""

from dataclasses import replace
from math import cos, pi, radians, sin

import pytest

from tractwright.design.file import Held
from tractwright.route.layout.chamber import first_chamber
from tractwright.route.layout.passages import ends_of


@pytest.mark.parametrize(("gap", "root"), [(40.0, 6.0), (8.0, 3.7), (5.7, 2.55), (3.0, 6.0), (-2.0, 6.0)])
def test_a_mouths_root_takes_half_the_gap_until_no_cutter_goes_between(sheet, wanted, pattern, gap, root):
    """Wanted 6 mm; 0.3 mm stay between two roots; under 2.5 mm the two skins are joined and one root goes round both."""
    given = sheet(runner={"wall": "4 mm", "root_blend": "6 mm"})
    chamber = first_chamber("plenum", 4, given, wanted(), Held())
    near = replace(chamber, pitch_mm=chamber.bore_mm + 2 * 4.0 + gap)
    ports = pattern()
    assert ends_of(ports.ports[0], 5.0, ports, near, given).mouth_root_mm == pytest.approx(root)
    assert ends_of(ports.ports[0], 5.0, ports, near, given).port_root_mm == 5.0


def test_a_leaning_ports_passage_is_as_narrow_as_the_port_looks_along_its_axis(sheet, wanted, pattern):
    """Closed form: a circle of 40 mm seen at 30 degrees from square."""
    ports = pattern()
    leaning = replace(ports.ports[0], axis=(0.0, sin(radians(30.0)), cos(radians(30.0))))
    chamber = first_chamber("plenum", 4, sheet(), wanted(), Held())
    found = ends_of(leaning, 6.0, ports, chamber, sheet())
    assert found.port_area_mm2 == pytest.approx(pi * 400.0 * cos(radians(30.0)))
