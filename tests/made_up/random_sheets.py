"""Random sheets of sound jobs: 3 to 6 cylinders, every outline, short and long runners, bent and straight."""

from dataclasses import dataclass
from math import pi, sqrt
from pathlib import Path

import numpy as np
from bent_courses import bent
from check_cases import described_case

from tractwright.air.records import Wanted
from tractwright.check.case import Case

HEADS = {"M6": 16.0, "M8": 22.0, "M10": 25.0}
"""Threads that heads are tapped with and how deep."""
_TEXT = """
[job]
name = "random {seed}"
[engine]
cylinders = {count}
bore = "{bore:.1f} mm"
stroke = "{stroke:.1f} mm"
highest = "{highest:.0f} rpm"
wanted_peak = "{wanted_peak:.0f} rpm"
[air]
boost = "{boost:.1f} bar"
[pattern]
pitch = "{pitch:.1f} mm"
port_shape = "{shape}"
port_width = "{width:.1f} mm"
{high}
port_rise = "{rise:.1f} deg"
screw_thread = "{thread}"
screw_depth = "{depth:g} mm"
screw_rise = "{screw_rise:.1f} mm"
[throttle]
bore = "{throttle:.0f} mm"
place = "{place}"
[joint]
seal_material = "FKM"
brace = {brace}
"""


@dataclass(frozen=True, kw_only=True)
class RandomJob:
    """A sheet, what the air wants of it, and how far its runners turn."""

    text: str
    wanted: Wanted
    turn_deg: float

    def case(self, folder: Path) -> Case:
        """The job described on courses laid without a search."""
        return described_case(folder, self.text, solve=bent(self.turn_deg), wanted=self.wanted)


def random_job(seed: int) -> RandomJob:
    """The job of a seed."""
    rng = np.random.default_rng(seed)
    count, bore = int(rng.integers(3, 7)), float(rng.uniform(65.0, 100.0))
    width = bore * float(rng.uniform(0.42, 0.52))
    shape = str(rng.choice(["circle", "oval", "rounded_rectangle", "d"]))
    height = width if shape == "circle" else width * float(rng.uniform(0.65, 1.0))
    area = pi / 4 * width * height
    mouth = sqrt(area * float(rng.uniform(0.95, 1.1)) * 4 / pi)
    length, turn = float(rng.uniform(180.0, 420.0)), float(rng.choice([0.0, 30.0, 60.0, 80.0]))
    thread = str(rng.choice(list(HEADS)))
    stroke = float(rng.uniform(70.0, 95.0))
    throttle = sqrt(count * bore**2 * stroke / 1e5) * float(rng.uniform(11.0, 13.5))
    high = "" if shape == "circle" else f'port_height = "{height:.1f} mm"'
    text = _TEXT.format(
        seed=seed, count=count, bore=bore, stroke=stroke, highest=rng.uniform(5500.0, 7000.0),
        wanted_peak=rng.uniform(3500.0, 5500.0), boost=rng.choice([0.0, 0.0, 0.6, 1.2]),
        pitch=bore + rng.uniform(10.0, 16.0), shape=shape, width=width, high=high,
        rise=rng.choice([0.0, 0.0, rng.uniform(5.0, 20.0)]), thread=thread, depth=HEADS[thread],
        screw_rise=height / 2 + rng.uniform(19.0, 24.0), throttle=throttle,
        place=rng.choice(["end_1", "end_2", "top", "side_1", "side_2"]), brace=str(bool(rng.uniform() < 0.5)).lower(),
    )  # fmt: skip
    wanted = Wanted(
        length_mm=length,
        bore_mm=mouth,
        port_area_mm2=area,
        mouth_area_mm2=pi / 4 * mouth**2,
        plenum_volume_l=float(rng.uniform(0.7, 1.4) * count * bore**2 * pi / 4 * stroke / 1e6),
        throttle_bore_mm=round(throttle),
        lip_radius_mm=float(rng.uniform(0.12, 0.2)) * mouth,
        why=(),
    )
    return RandomJob(text=text, wanted=wanted, turn_deg=turn)
