"""Made-up sheets and patterns for the layout: nobody's engine."""

from collections.abc import Callable
from math import pi
from typing import Any

import pytest
from round_ports import round_ports

from tractwright.air.records import Wanted
from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, HeadHole
from tractwright.geometry.frames import Frame
from tractwright.job.sheet import JobSheet


@pytest.fixture
def sheet() -> Callable[..., JobSheet]:
    """A sheet with the tables given."""

    def made(**tables: dict[str, Any]) -> JobSheet:
        return JobSheet.model_validate({"job": {"name": "made up"}, **tables})

    return made


@pytest.fixture
def wanted() -> Callable[..., Wanted]:
    """What the air asks for."""

    def made(bore_mm: float = 42.0, volume_l: float = 3.0, throttle_mm: float = 70.0, lip_mm: float = 8.0) -> Wanted:
        area = pi / 4 * bore_mm**2
        return Wanted(
            length_mm=300.0,
            bore_mm=bore_mm,
            port_area_mm2=area,
            mouth_area_mm2=area,
            plenum_volume_l=volume_l,
            throttle_bore_mm=throttle_mm,
            lip_radius_mm=lip_mm,
            why=(),
        )

    return made


@pytest.fixture
def pattern() -> Callable[..., Pattern]:
    """Four round ports 40 mm wide, 90 mm apart, with a screw beside the first at that distance from its middle."""

    def made(beside_mm: float = 40.0, thread: str = "M8", depth_mm: float = 22.0) -> Pattern:
        row = [(k - 1.5) * 90.0 for k in range(4)]
        return Pattern(
            banks=(Bank(name="a", frame=Frame()),),
            ports=round_ports(row),
            head_holes=(
                HeadHole(name="h1", bank="a", at_mm=(row[0], beside_mm), thread=thread, depth_mm=depth_mm, stud=False),
            ),
        )

    return made
