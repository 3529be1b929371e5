"""An invented flat four whose ports look up: two heads, one plenum over the middle. Nobody's engine."""

from dataclasses import replace
from pathlib import Path

from check_cases import WANTED, described_case

from tractwright.check.case import Case
from tractwright.route.course.solve import solve_courses

FLAT_FOUR = """
[job]
name = "invented flat four"
[engine]
layout = "flat"
cylinders = 4
bore = "80 mm"
stroke = "66 mm"
firing_order = [1, 4, 3, 2]
[[bank]]
side = "left"
cylinders = [1, 2]
rise = "70 deg"
from_middle = "90 mm"
offset = "-12 mm"
[[bank]]
side = "right"
cylinders = [3, 4]
rise = "70 deg"
from_middle = "90 mm"
offset = "12 mm"
[pattern]
pitch = "108 mm"
port_shape = "circle"
port_width = "36 mm"
screw_rise = "34 mm"
[runner]
length = "260 mm"
bore = "38 mm"
lip_radius = "7 mm"
[plenum]
volume = "1.6 l"
[throttle]
bore = "52 mm"
[joint]
seal_material = "FKM"
brace = true
"""


def flat_four_case(folder: Path, text: str = FLAT_FOUR, **wanted: float) -> Case:
    """Its description, courses and all; wanted : what the air asks for otherwise."""
    return described_case(folder, text, solve=solve_courses, wanted=replace(WANTED, **wanted))
