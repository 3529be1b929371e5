"""What is wanted of two plena before either is drawn: each is its own room, with its own throttle and its own cylinders."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.air.intake import Plan, planned_intake
from tractwright.air.sizing import rooms_of
from tractwright.air.stage import wanted
from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, Port
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle
from tractwright.job.engine_tables import AirSupply

FED = ((1,), (2,), (3,), (4,))


def two_banks() -> Pattern:
    ports = tuple(
        Port(
            name=f"p{number}", bank="left" if number < 3 else "right", cylinders=(number,), at_mm=(90.0 * number, 0.0),
            outline=circle(38.0), turn_deg=0.0, axis=(0.0, 0.0, 1.0),
        )
        for number in range(1, 5)
    )  # fmt: skip
    return Pattern(
        banks=tuple(Bank(name=name, frame=Frame()) for name in ("left", "right")), ports=ports, head_holes=()
    )


def test_a_plan_of_two_rooms():
    plan = Plan(
        fed=FED, length_mm=300.0, port_area_mm2=1134.0, mouth_area_mm2=1300.0, lip_radius_mm=8.0, plenum_volume_l=3.0,
        throttle_bore_mm=50.0, neck_mm=30.0, rooms=(0, 0, 0, 1), throttles=2,
    )  # fmt: skip
    made = planned_intake(plan, AirSupply())
    assert [runner.plenum for runner in made.runners] == [0, 0, 0, 1]
    assert [plenum.size for plenum in made.plena] == pytest.approx([2.25e-3, 0.75e-3])
    assert all(plenum.throttle_bores == (0.05, 0.05) for plenum in made.plena)
    assert len(planned_intake(replace(plan, rooms=()), AirSupply()).plena) == 1


def test_rooms_go_by_bank_where_each_has_its_plenum(make_sheet):
    assert rooms_of(make_sheet(4, plenum={"over": "own"}), two_banks()) == (0, 0, 1, 1)
    assert rooms_of(make_sheet(4), two_banks()) == (0, 0, 0, 0)


def test_each_throttle_is_for_its_own_bank(make_sheet):
    """By the rule of gas speed, in the sentence beside the choice: the area divides among the throttles."""
    given = {"runner": {"length": "300 mm", "bore": "40 mm"}}

    def ruled(**tables: object) -> float:
        told = wanted(make_sheet(4, **given, **tables), two_banks()).why[4]
        return float(told.split("asks ")[1].split(" mm")[0])

    one, volume = ruled(plenum={"volume": 3.0}), {"volume": 3.0}
    for tables in ({"plenum": {**volume, "over": "own"}}, {"plenum": volume, "throttle": {"second": "end_2"}}):
        assert ruled(**tables) == pytest.approx(one / np.sqrt(2.0), abs=0.9)  # both are told in whole millimetres
