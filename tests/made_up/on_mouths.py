"""A small sound manifold whose runners end in throttle bodies: three straight ones, a bank of 45 mm at the ports' pitch."""

from pathlib import Path

import numpy as np
from check_cases import described_case

from tractwright.air.records import Wanted
from tractwright.check.case import Case

SHEET = """
[job]
name = "invented three with a body on every mouth"
[engine]
cylinders = 3
bore = "72 mm"
stroke = "80 mm"
wanted_peak = 6500
[pattern]
pitch = "82 mm"
port_shape = "circle"
port_width = "40 mm"
screw_rise = "34 mm"
[runner]
length = "110 mm"
[throttle]
place = "mouths"
bore = "42 mm"
pitch = "82 mm"
body_length = "40 mm"
body_flange = "9 mm"
hole_pitch = ["58 mm", "50 mm"]
trumpet = "50 mm"
bell = "12 mm"
[joint]
seal_material = "FKM"
"""
WANTED = Wanted(
    length_mm=110.0,
    bore_mm=42.0,
    port_area_mm2=np.pi / 4 * 40.0**2,
    mouth_area_mm2=np.pi / 4 * 42.0**2,
    plenum_volume_l=0.0,
    throttle_bore_mm=42.0,
    lip_radius_mm=0.0,
    why=(),
)


def case_on_mouths(folder: Path, text: str = SHEET) -> Case:
    """Its case, on courses laid without a search."""
    return described_case(folder, text, wanted=WANTED)
