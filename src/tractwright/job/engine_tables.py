"""[engine] and [air]: what breathes through the manifold, and what it breathes."""

from typing import Literal

from tractwright.job.fields import (
    Angle,
    Count,
    Length,
    Number,
    Part,
    Pressure,
    Speed,
    Temperature,
    Volume,
    assumed,
    needed,
    silent,
)


class Engine(Part):
    """What breathes through it. Leave the whole table out when nothing is known: then give runner.length and runner.bore."""

    layout: Literal["inline", "vee", "flat"] = silent(
        "inline", "how the cylinders stand; vee and flat have two [[bank]] tables", "inline"
    )
    cylinders: Count = needed("how many", 4, ge=1, le=8)
    bore_mm: Length = needed("cylinder bore", "86 mm", gt=20, lt=200)
    stroke_mm: Length = needed("piston stroke", "86 mm", gt=20, lt=200)
    band_rpm: tuple[Speed, ...] = silent(
        (),
        "least and greatest revs between which torque counts alike: sizes are chosen for its mean there",
        "sizes are chosen for torque about wanted_peak",
        example=[3500, 6500],
    )
    wanted_peak_rpm: Speed = assumed(
        lambda d: 0.5 * sum(d["band_rpm"]) or 5500.0,
        "revs at which the torque peak is wanted",
        "the middle of band; without one 5500 rpm, a road engine",
        0.20,
        gt=500,
        lt=15000,
    )
    highest_rpm: Speed = assumed(
        lambda d: max(1.3 * d["wanted_peak_rpm"], *d["band_rpm"], 0.0),
        "highest revs",
        "1.3 x the wanted peak, or the end of band where that is higher",
        0.05,
        gt=500,
        lt=20000,
    )
    rod_length_mm: Length = assumed(
        lambda d: 1.65 * d["stroke_mm"], "connecting rod, eye to eye", "1.65 x stroke", 0.01, gt=30, lt=500
    )
    compression_ratio: Number = assumed(10.0, "geometric compression ratio", "a usual value", 0.04, gt=4, lt=22)
    firing_order: tuple[Count, ...] = assumed(
        lambda d: usual_firing_order(d["cylinders"]), "cylinder numbers in firing order", "the usual order", 0.01
    )
    bank_angle_deg: Angle = silent(
        0.0,
        "angle between two banks whose cylinders share crank pins, each cylinder with the one that fires after it",
        "it fires evenly",
        example="90 deg",
        ge=0,
        lt=360,
    )
    firing_at_deg: tuple[Angle, ...] = silent(
        (), "crank angle at which each cylinder fires, in firing order, from 0", "by bank_angle", example=[0, 240, 480]
    )
    pin_offset_mm: Length = silent(
        0.0, "piston pin off the plane of the crankshaft, towards the side that the crank turns to after top", "none",
        example="1 mm", gt=-20, lt=20,
    )  # fmt: skip
    intake_valves: Count = assumed(2, "intake valves a cylinder", "two a cylinder", 0.06, ge=1, le=3)
    intake_valve_mm: Length = assumed(
        lambda d: (0.37 if d["intake_valves"] > 1 else 0.46) * d["bore_mm"],
        "head diameter of an intake valve",
        "0.37 x bore, 0.46 x bore for a single one",
        0.10,
        gt=5,
        lt=100,
    )
    intake_lift_mm: Length = assumed(
        lambda d: 0.28 * d["intake_valve_mm"],
        "largest lift of an intake valve",
        "0.28 x valve diameter",
        0.06,
        gt=1,
        lt=40,
    )
    intake_opens_btdc_deg: Angle = assumed(
        10.0, "crank angle before top dead centre where it leaves its seat", "a road cam", 0.05, ge=-40, le=80
    )
    intake_closes_abdc_deg: Angle = assumed(
        50.0, "crank angle after bottom dead centre where it meets its seat", "a road cam", 0.12, ge=0, le=110
    )
    intake_lift_at_deg: tuple[Angle, ...] = silent(
        (),
        "a measured cam: crank angles after top dead centre, rising, from seat to seat; it replaces intake_lift, "
        "intake_opens_btdc and intake_closes_abdc",
        "a smooth cam between those",
        example=[-10, 110, 230],
    )
    intake_lifts_mm: tuple[Length, ...] = silent((), "lift at each of them", "a smooth cam", example=[0, 9, 0])
    intake_flow_at: tuple[Number, ...] = silent(
        (), "a flowed head: lifts over valve diameter, rising", "a remembered curve, unverified", example=[0.05, 0.25]
    )
    intake_flow: tuple[Number, ...] = silent(
        (), "discharge coefficient on the curtain area at each of them", "a remembered curve", example=[0.66, 0.55]
    )
    exhaust_valves: Count = assumed(
        lambda d: d["intake_valves"], "exhaust valves a cylinder", "as many as intake valves", 0.02, ge=1, le=3
    )
    exhaust_valve_mm: Length = assumed(
        lambda d: 0.85 * d["intake_valve_mm"],
        "head diameter of an exhaust valve",
        "0.85 x intake valve",
        0.03,
        gt=4,
        lt=100,
    )
    exhaust_lift_mm: Length = assumed(
        lambda d: min(d["intake_lift_mm"], 0.4 * d["exhaust_valve_mm"]),
        "largest lift of an exhaust valve",
        "as the intake, at most 0.4 x exhaust valve",
        0.02,
        gt=1,
        lt=40,
    )
    exhaust_opens_bbdc_deg: Angle = assumed(
        50.0, "crank angle before bottom dead centre where it leaves its seat", "a road cam", 0.03, ge=0, le=110
    )
    exhaust_closes_atdc_deg: Angle = assumed(
        12.0, "crank angle after top dead centre where it meets its seat", "a road cam", 0.03, ge=-40, le=80
    )
    port_length_mm: Length = assumed(
        lambda d: 1.15 * d["bore_mm"],
        "intake port in the head along its middle, valve seat to head face",
        "1.15 x bore",
        0.08,
        gt=10,
        lt=400,
    )
    primary_length_mm: Length = silent(
        0.0,
        "exhaust pipe of each cylinder, valve to where it ends or meets the others",
        "no pipe: a back pressure that rises with the revs",
        example="700 mm",
        ge=0,
        lt=3000,
    )
    primary_bore_mm: Length | None = silent(
        None, "bore of those pipes", "as wide as the exhaust valves together", example="42 mm", gt=10, lt=150
    )
    collector_length_mm: Length = silent(
        0.0, "pipe in which all primaries meet", "each ends by itself", example="500 mm", ge=0, lt=5000
    )
    collector_bore_mm: Length | None = silent(
        None, "bore of the collector", "1.4 x primary_bore", example="60 mm", gt=10, lt=250
    )


class AirSupply(Part):
    """What it breathes."""

    boost_bar: Pressure = silent(
        0.0, "gauge pressure in the plenum: 17 psi is 17 psi over ambient", "none", example="17 psi", ge=0, le=5
    )
    ambient_bar: Pressure = assumed(1.013, "absolute pressure of the surroundings", "sea level", 0.02, gt=0.4, lt=1.2)
    charge_degc: Temperature = assumed(
        lambda d: 25.0 if d["boost_bar"] == 0 else 50.0,
        "air in the plenum",
        "25 C, or 50 C after a cooler where there is boost",
        0.04,
        gt=-50,
        lt=200,
    )
    wall_degc: Temperature = assumed(60.0, "metal of the runners", "warm", 0.02, gt=-50, lt=200)
    backfire_bar: Pressure = assumed(
        3.0, "gauge pressure that a backfire may make inside", "judgement, unverified", 0.03, ge=0, le=20
    )
    duct_length_mm: Length = silent(
        0.0, "pipe from the open or the cooler to the throttle", "none", example="600 mm", ge=0, lt=5000
    )
    duct_bore_mm: Length = silent(80.0, "bore of that pipe", "80 mm, where there is a duct", gt=15, lt=300)
    box_l: Volume = silent(0.0, "air box between that pipe and the throttle", "none", example="6 litre", ge=0, lt=100)
    throttle_open_deg: Angle = silent(
        90.0,
        "angle of the throttle's plate from shut at which filling and torque are told; sizes are chosen with it wide open",
        "wide open, 90 deg",
        example="30 deg",
        gt=2,
        le=90,
    )
    balance_length_mm: Length = silent(
        0.0, "pipe that joins the plena of two banks", "none", example="300 mm", ge=0, lt=2000
    )
    balance_bore_mm: Length = silent(40.0, "bore of that pipe", "40 mm, where there is one", gt=5, lt=150)
    bench_bar: Pressure = silent(
        0.0697449, "depression at which a flow bench is foretold", "28 inches of water, common practice",
        example="0.07 bar", gt=0.001, lt=0.4,
    )  # fmt: skip
    fuel: Literal["petrol", "ethanol", "methanol"] = assumed("petrol", "what it burns", "usual", 0.02)
    sprayed: Literal["nothing", "water", "methanol", "water and methanol"] = silent(
        "nothing", "what nozzles add to the air before the valves, beside the fuel", "nothing", example="water"
    )


def usual_firing_order(cylinders: int) -> tuple[int, ...]:
    """The usual order of an inline engine (common practice, no source); of any other the sheet says it."""
    usual: dict[int, tuple[int, ...]] = {
        1: (1,),
        2: (1, 2),
        3: (1, 3, 2),
        4: (1, 3, 4, 2),
        5: (1, 2, 4, 5, 3),
        6: (1, 5, 3, 6, 2, 4),
        8: (1, 6, 2, 5, 8, 3, 7, 4),
    }
    return usual.get(cylinders, tuple(range(1, cylinders + 1)))
