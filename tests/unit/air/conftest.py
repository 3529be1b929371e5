"""Invented engines and straight-runner manifolds for the air stage."""

from collections.abc import Callable

import numpy as np
import pytest

from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, Design, Mouth, Plenum, Port, Runner, Throttle
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import Outline, outline_area
from tractwright.job.sheet import JobSheet

OUTLINE = Outline(kind="oval", width_mm=42.0, height_mm=32.0)
SHARES = (0.0, 1 / 16, 1 / 6, 0.38, 0.62, 5 / 6, 15 / 16, 1.0)
Fed = tuple[tuple[int, ...], ...]


@pytest.fixture(scope="session")
def make_sheet() -> Callable[..., JobSheet]:
    def make(cylinders: int = 4, **tables: dict[str, object]) -> JobSheet:
        engine = {"cylinders": cylinders, "bore": 86.0, "stroke": 86.0, "wanted_peak": 5000.0, "highest": 7000.0}
        engine |= tables.pop("engine", {})
        return JobSheet.model_validate({"job": {"name": "invented"}, "engine": engine, **tables})

    return make


@pytest.fixture(scope="session")
def make_pattern() -> Callable[[Fed], Pattern]:
    def make(fed: Fed) -> Pattern:
        return Pattern(banks=(Bank(name="a", frame=Frame()),), ports=ports(fed), head_holes=())

    return make


@pytest.fixture(scope="session")
def make_design() -> Callable[..., Design]:
    """Straight runners along z. fed : cylinders of each port; joined : port numbers of each runner, one each if empty."""

    def make(fed: Fed, lengths: tuple[float, ...], joined: tuple[tuple[int, ...], ...] = ()) -> Design:
        groups = joined or tuple((i,) for i in range(len(fed)))
        runners = tuple(straight_runner(i, group, lengths[i]) for i, group in enumerate(groups))
        plenum = Plenum(
            name="plenum", bank="a", frame=Frame(origin_mm=(0, 0, 290)), centre_mm=(0, 0), width_mm=400, height_mm=100,
            corner_radius_mm=10, depth_mm=75, floor_mm=10, wall_mm=5, volume_l=3.0,
        )  # fmt: skip
        throttle = Throttle(
            name="throttle", plenum="plenum", place="end_1", bore_mm=65.0, frame=Frame(), neck_mm=30.0, holes_mm=(),
            hole_thread="M6",
        )  # fmt: skip
        return Design(
            name="invented", banks=(Bank(name="a", frame=Frame()),), ports=ports(fed), head_holes=(), runners=runners,
            plena=(plenum,), throttles=(throttle,), pieces=(), flanges=(), joints=(), screws=(), dowels=(), seals=(),
        )  # fmt: skip

    return make


def ports(fed: Fed) -> tuple[Port, ...]:
    return tuple(
        Port(
            name=f"p{i + 1}", bank="a", cylinders=numbers, at_mm=(95.0 * i, 0.0), outline=OUTLINE, turn_deg=0.0,
            axis=(0.0, 0.0, 1.0),
        )
        for i, numbers in enumerate(fed)
    )  # fmt: skip


def straight_runner(i: int, group: tuple[int, ...], length: float) -> Runner:
    x = 95.0 * float(np.mean(group))
    area = outline_area(OUTLINE)
    return Runner(
        name=f"r{i + 1}", bank="a", ports=tuple(f"p{k + 1}" for k in group),
        mouth=Mouth(plenum="plenum", at_mm=(x, 0.0), bore_mm=42.0, lip_radius_mm=8.0),
        poles_mm=tuple((x, 0.0, 20.0 + (length - 40.0) * share) for share in SHARES), port_lead_mm=20.0,
        mouth_lead_mm=20.0, length_mm=length, length_wanted_mm=length,
        area_mm2=((0.0, area), (1.0, np.pi / 4 * 42.0**2)), wall_mm=((0.0, 4.0), (1.0, 4.0)), port_blend_mm=6.0,
        mouth_blend_mm=6.0,
    )  # fmt: skip
