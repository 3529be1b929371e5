"""Each check of keys against each other: silent at its limit, told just over it."""

from collections.abc import Callable
from typing import Any

import pytest

Change = dict[str, Any]
SQUARE = [[20, -15], [20, 15], [-20, 15], [-20, -15]]
THREE_PORTS = [{"at": [-94, 0]}, {"at": [0, 0]}, {"at": [94, 0]}]
FOUR_PORTS = [{"at": [x, 0]} for x in (-141, -47, 47, 141)]
LISTED: Change = {"pattern.pitch": None, "pattern.port": FOUR_PORTS}
NO_ENGINE: Change = {**LISTED, "engine": None, "runner": {"length": "300 mm", "bore": "44 mm"}}


def at(x: float, y: float) -> dict[str, list[float]]:
    return {"at": [x, y]}


def box(low: list[float], high: list[float], name: str = "a") -> dict[str, Any]:
    return {"name": name, "low": low, "high": high}


def plane(normal: list[float], name: str = "p") -> dict[str, Any]:
    return {"name": name, "normal": normal, "offset": -100}


def ball(name: str = "b", kind: str = "ball", neck: float = 11.9) -> dict[str, Any]:
    return {"name": name, "kind": kind, "diameter": 12, "neck": neck, "stickout": 100}


def loop(points: list[list[float]], **more: Any) -> Change:
    return {
        "pattern.port_shape": "loop",
        "pattern.port_points": points,
        "pattern.port_width": 40,
        "pattern.port_height": 30,
    } | {f"pattern.{key}": value for key, value in more.items()}


def fed(*cylinders: list[int] | None) -> Change:
    """Two ports, each with the cylinders it feeds, None for silence."""
    ports = [
        at(x, 0) | ({} if numbers is None else {"cylinders": numbers})
        for x, numbers in zip((-47, 47), cylinders, strict=True)
    ]
    return {**LISTED, "pattern.port": ports}


def d_port(height: float, upper: float, lower: float) -> Change:
    sizes = {"height": height, "corner_radius": upper, "lower_corner_radius": lower}
    return {"pattern.port_shape": "d"} | {f"pattern.port_{key}": value for key, value in sizes.items()}


def channels(*items: dict[str, Any]) -> Change:
    """Channels called c, a round opening of 12 mm each, with these keys of their own."""
    return {"channel": [{"name": "c", "at": [0, -40], "width": 12, "thread": "1/8 NPT"} | item for item in items]}


def bank(side: str, *cylinders: int) -> dict[str, Any]:
    return {"side": side, "cylinders": list(cylinders), "rise": 90, "from_middle": 120}


def flat(*banks: dict[str, Any], **more: Any) -> Change:
    """A flat four: its banks, and keys of its pattern and of other tables."""
    order = {"engine.layout": "flat", "engine.firing_order": [1, 4, 3, 2]}
    return {**order, "bank": list(banks or TWO_BANKS), **more}


TWO_BANKS = (bank("left", 1, 2), bank("right", 3, 4))


def body(pitch: float) -> Change:
    return {"throttle": {"bore": 70, "hole_pitch": [pitch, pitch]}}


def cam(lift: float) -> Change:
    return {"engine.intake_valve": 32, "engine.intake_lift_at": [-10, 110, 240], "engine.intake_lifts": [0, lift, 0]}


CASES: list[tuple[str, Change, Change]] = [
    # key at fault, a change that passes, a change that does not
    ("runner.length", NO_ENGINE, {**NO_ENGINE, "runner": {"bore": "44 mm"}}),
    ("runner.bore", NO_ENGINE, {**NO_ENGINE, "runner": {"length": "300 mm"}}),
    ("engine.firing_order", {"engine.firing_order": [1, 2, 4, 3]}, {"engine.firing_order": [1, 2, 4, 5]}),
    ("engine.firing_order", {"engine.firing_order": [4, 2, 1, 3]}, {"engine.firing_order": [1, 2, 3]}),
    # two of 40 and two of 45: sqrt(2 (40^2 + 45^2)) = 85.15; two of 41: 86.09 mm in a bore of 86
    ("engine.intake_valve", {"engine.intake_valve": 40, "engine.exhaust_valve": 45},
     {"engine.intake_valve": 41, "engine.exhaust_valve": 45}),
    ("engine.intake_lift", {"engine.intake_valve": 32, "engine.intake_lift": 16},
     {"engine.intake_valve": 32, "engine.intake_lift": 16.1}),
    ("engine.exhaust_lift", {"engine.exhaust_valve": 28, "engine.exhaust_lift": 14},
     {"engine.exhaust_valve": 28, "engine.exhaust_lift": 14.1}),
    ("engine.intake_closes_abdc", {"engine.intake_opens_btdc": -30, "engine.intake_closes_abdc": 0},
     {"engine.intake_opens_btdc": -31, "engine.intake_closes_abdc": 0}),
    ("engine.intake_closes_abdc", {"engine.intake_opens_btdc": 70, "engine.intake_closes_abdc": 100},
     {"engine.intake_opens_btdc": 71, "engine.intake_closes_abdc": 100}),
    ("engine.highest", {"engine.wanted_peak": 6000, "engine.highest": 6001},
     {"engine.wanted_peak": 6000, "engine.highest": 6000}),
    ("engine.band", {"engine.band": [3500, 6500]}, {"engine.band": [6500, 3500]}),
    ("engine.band", {"engine.band": [3500, 6500], "engine.highest": 6500},
     {"engine.band": [3500, 6501], "engine.highest": 6500}),
    ("engine.band", {"engine.band": [3500, 6500]}, {"engine.band": [3500]}),
    ("engine.wanted_peak", {"engine.band": [3500, 6500], "engine.wanted_peak": 3500},
     {"engine.band": [3500, 6500], "engine.wanted_peak": 3499}),
    ("engine.rod_length", {"engine.rod_length": 94.7}, {"engine.rod_length": 94.5}),
    ("engine.firing_at", {"engine.firing_at": [0, 90, 360, 450]}, {"engine.firing_at": [0, 90, 360]}),
    ("engine.firing_at", {"engine.firing_at": [0, 90, 360, 719]}, {"engine.firing_at": [0, 90, 360, 720]}),
    ("engine.intake_lift_at", {"engine.intake_lift_at": [-10, 80, 140], "engine.intake_lifts": [0, 9, 0]},
     {"engine.intake_lift_at": [-10, 80, 139], "engine.intake_lifts": [0, 9, 0]}),
    ("engine.intake_lifts", {"engine.intake_lift_at": [-10, 80, 240], "engine.intake_lifts": [0, 9, 0]},
     {"engine.intake_lift_at": [-10, 80, 240], "engine.intake_lifts": [0, 9, 0.1]}),
    ("engine.intake_lifts", cam(lift=16), cam(lift=16.1)),
    ("engine.intake_flow_at", {"engine.intake_flow_at": [0.1, 0.5], "engine.intake_flow": [0.6, 0.5]},
     {"engine.intake_flow_at": [0.1, 0.51], "engine.intake_flow": [0.6, 0.5]}),
    ("engine.intake_flow", {"engine.intake_flow_at": [0.1, 0.3], "engine.intake_flow": [1.0, 0.5]},
     {"engine.intake_flow_at": [0.1, 0.3], "engine.intake_flow": [1.01, 0.5]}),
    ("engine.collector_length", {"engine.collector_length": 300, "engine.primary_length": 1},
     {"engine.collector_length": 300}),
    ("pattern", {"pattern": None, "scan": {"file": "scan.stl"}}, {"pattern": None}),
    ("pattern.pitch", LISTED, {"pattern.pitch": None}),
    ("pattern.pitch", NO_ENGINE, {**NO_ENGINE, "pattern.port": None, "pattern.pitch": 94}),
    ("pattern.port", {**LISTED, "pattern.port": FOUR_PORTS[:2]}, {**LISTED, "pattern.port": THREE_PORTS}),
    ("pattern.port[2].cylinders", fed([1, 2], [3, 4]), fed([1, 2, 3, 4], None)),
    ("pattern.port[2].cylinders", fed([1, 2], [3, 4]), fed([1, 2, 3, 4], [5])),
    ("pattern.port", fed([1, 2], [3, 4]), fed([1, 2], [3])),
    ("pattern.pitch", {"pattern.pitch": 86.1}, {"pattern.pitch": 86}),
    ("pattern.pitch", {"pattern.port_width": 93.9}, {"pattern.port_width": 94.1}),
    # two ovals 50 x 32 side by side, the second 40 mm higher: 8 mm apart; 30 mm higher: they touch
    ("pattern.port[2].at", {**LISTED, "pattern.port": [at(-141, 0), at(-140, 40), at(47, 0), at(141, 0)]},
     {**LISTED, "pattern.port": [at(-141, 0), at(-140, 30), at(47, 0), at(141, 0)]}),
    ("pattern.pitch", {"pattern.pitch": 94.4, "pattern.port": FOUR_PORTS},
     {"pattern.pitch": 94.6, "pattern.port": FOUR_PORTS}),
    ("pattern.port_points", loop(SQUARE), loop(SQUARE[:2])),
    ("pattern.port_points", loop(SQUARE), loop(SQUARE[::-1])),
    ("pattern.port_points", loop(SQUARE), loop([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]])),
    ("pattern.port_points", loop(SQUARE), {"pattern.port_points": SQUARE}),
    ("pattern.port_width", loop(SQUARE, port_width=41), loop(SQUARE, port_width=41.1)),
    ("pattern.port_height", loop(SQUARE, port_height=29), loop(SQUARE, port_height=28.9)),
    ("pattern.port_height", {"pattern.port_shape": "circle", "pattern.port_height": 50},
     {"pattern.port_shape": "circle", "pattern.port_height": 40}),
    ("pattern.port_corner_radius", {"pattern.port_shape": "rounded_rectangle", "pattern.port_corner_radius": 16},
     {"pattern.port_shape": "rounded_rectangle", "pattern.port_corner_radius": 16.1}),
    ("pattern.port_corner_radius", d_port(40, 25, 15), d_port(40, 25, 15.1)),
    ("pattern.port_corner_radius", d_port(60, 25, 5), d_port(60, 25.1, 5)),
    ("pattern.port_lower_corner_radius", d_port(60, 5, 25), d_port(60, 5, 25.1)),
    ("pattern.screw_rise", {"pattern.screw_rise": None, "pattern.screw": [at(0, 40)]}, {"pattern.screw_rise": None}),
    # an 8 mm thread needs its middle 4 mm from the port: height 32 / 2 + 4 = 20
    ("pattern.screw[1].at", {"pattern.screw": [at(47, 20.1)]}, {"pattern.screw": [at(47, 19.9)]}),
    # half circle of 16 about x = (width - 32) / 2, screw at (47, 6): 4.4 mm off for a width of 87, 3.4 mm for 89
    ("pattern.screw_rise", {"pattern.port_width": 87, "pattern.screw_rise": 6},
     {"pattern.port_width": 89, "pattern.screw_rise": 6}),
    ("pattern.screw[2].at", {"pattern.screw": [at(0, 40), at(8, 40)]}, {"pattern.screw": [at(0, 40), at(7.9, 40)]}),
    ("boss[1].clock", {"boss": [{"name": "b", "wall": "top"}]}, {"boss": [{"name": "b", "wall": "top", "clock": 30}]}),
    ("boss[1].share", {"boss": [{"name": "b", "station": 90}]}, {"boss": [{"name": "b", "station": 90, "share": 0.4}]}),
    ("boss[1].wall_at", {"boss": [{"name": "b", "wall": "top", "wall_at": [9, 0]}]},
     {"boss": [{"name": "b", "wall_at": [9, 0]}]}),
    ("throttle.hole_pitch", body(54), body(53)),
    ("air.balance_length", flat(**{"plenum.over": "own", "air.balance_length": 200}),
     flat(**{"air.balance_length": 200})),
    ("throttle.second", {"throttle": {"second": "end_2"}}, {"throttle": {"second": "end_1"}}),
    ("throttle.second", {"throttle": {"place": "mouths"}}, {"throttle": {"place": "mouths", "second": "end_2"}}),
    ("throttle.hole_thread", {"throttle": {"hole_thread": "1/4-20"}}, {"throttle": {"hole_thread": "1/4-19"}}),
    ("joint.thread", {"joint": {"thread": "M8x1"}}, {"joint": {"thread": "M14"}}),
    ("joint.cord", {"joint": {"cord": 1.78}}, {"joint": {"cord": 1.79}}),
    ("pattern.screw_thread", {"pattern.screw_thread": "M8x1.25"}, {"pattern.screw_thread": "M8x1.1"}),
    ("room.box[1].low", {"room": {"box": [box([0, 0, 1], [1, 1, 1.1])]}}, {"room": {"box": [box([0, 0, 1], [1, 1, 1])]}}),
    ("room.plane[1].normal", {"room": {"plane": [plane([0, -0.1, 0])]}}, {"room": {"plane": [plane([0, 0, 0])]}}),
    ("room.plane[1].name", {"room": {"box": [box([0, 0, 1], [1, 1, 2])], "plane": [plane([0, 1, 0])]}},
     {"room": {"box": [box([0, 0, 1], [1, 1, 2], "p")], "plane": [plane([0, 1, 0])]}}),
    ("plenum.direction", {"plenum": {"direction": [0, 0.1, 0]}}, {"plenum": {"direction": [0, 0, 0]}}),
    ("plenum.at", {"plenum": {"at": [0, 0, 1]}}, {"plenum": {"at": [0, 0, 0]}}),
    ("engine.layout", flat(), flat() | {"engine.layout": "inline"}),
    ("engine.layout", {"engine.layout": "inline"}, {"engine.layout": "vee"}),
    ("engine.firing_order", flat(), flat() | {"engine.firing_order": None}),
    ("plenum.over", flat(plenum={"over": "own"}), {"plenum": {"over": "own"}}),
    ("plenum.at", flat(plenum={"at": [0, 120, 0]}), flat(plenum={"over": "own", "at": [0, 120, 0]})),
    ("plenum.direction", flat(plenum={"over": "own"}), flat(plenum={"over": "own", "direction": [0, 1, 0]})),
    ("bank[2].side", flat(), flat(bank("left", 1, 2), bank("left", 3, 4))),
    ("bank", flat(), flat(bank("left", 1, 2, 3, 4))),
    ("bank[1].cylinders", flat(bank("right", 4, 2), bank("left", 3, 1)), flat(bank("left", 1, 2), bank("right", 3, 3))),
    ("bank[1].cylinders", flat(), flat(bank("left", 1, 2, 3), bank("right", 4))),
    ("pattern.port[2].cylinders", flat() | {"pattern.pitch": None, "pattern.port": FOUR_PORTS},
     flat() | {"pattern.pitch": None, "pattern.port": [at(-141, 0), at(-47, 0) | {"cylinders": [1]}]}),
    ("pattern.screw[1].stud", flat() | {"pattern.screw": [at(0, 40)]},
     flat() | {"pattern.screw": [at(0, 40) | {"stud": True}]}),
    ("scan", flat(), flat() | {"scan": {"file": "scan.stl"}}),
    ("piece[1]", flat(), flat() | {"piece": [{"own": "head.step"}]}),
    ("channel[2].name", channels({}, {"name": "d"}), channels({}, {})),
    ("channel[1].thread", channels({"thread": "3/8 NPT"}), channels({"thread": "M14x1.4"})),
    ("channel[1].plug", channels({"plug": "1/8 NPT", "port_at": [9, 60]}), channels({"plug": "M8", "port_at": [9, 60]})),
    ("channel[1].plug", channels({"plug": "1/8 NPT", "port_at": [9, 60]}), channels({"plug": "1/8 NPT"})),
    ("channel[1].side", channels({}), channels({"side": "left"})),
    ("channel[1].side", flat() | channels({"side": "left"}), flat() | channels({})),
    ("channel[1].height", channels({"height": 12}), channels({"height": 11})),
    ("channel[1].corner_radius", channels({"shape": "rounded_rectangle", "height": 8}),
     channels({"shape": "rounded_rectangle", "height": 7.9})),
    ("channel[1].bore", channels({"bore": 12}), channels({"bore": 12.1})),
    ("channel[1].port_at", channels({"leaves": "edge"}), channels({"leaves": "edge", "port_at": [9, 60]})),
    ("channel[1].towards", channels({"leaves": "edge", "towards": 90}), channels({"towards": 90})),
    ("channel[1]", {"piece": [{"own": "head.step"}]}, {"piece": [{"own": "head.step"}]} | channels({})),
    ("channel[1].carries", channels({"carries": "it"}) | {"room": {"carried": [{"name": "it"}]}}, channels({"carries": "it"})),
    ("spacer.material", {"spacer": {"material": "cotton phenolic"}}, {"spacer": {"material": "wood"}}),
    ("spacer", {"spacer": {}, "piece": [{"own": "head.step"}]},
     {"spacer": {}, "piece": [{"own": "head.step", "placed": "as drawn"}]}),
    ("plenum.at", flat() | {"plenum": {"at": [0, 200, -5]}}, {"plenum": {"at": [0, 200, -5]}}),
    ("shop.cutter[2].name", {"shop": {"cutter": [ball("a"), ball("b")]}}, {"shop": {"cutter": [ball("a"), ball("a")]}}),
    ("shop.cutter[1].neck", {"shop": {"cutter": [ball(kind="undercutting")]}},
     {"shop": {"cutter": [ball(kind="undercutting", neck=12)]}}),
]  # fmt: skip


@pytest.mark.parametrize(("key", "passes", "fails"), CASES, ids=[f"{i}-{case[0]}" for i, case in enumerate(CASES)])
def test_told_over_the_limit_and_silent_at_it(
    key: str, passes: Change, fails: Change, keys_at_fault: Callable[[Change], list[str]]
) -> None:
    assert keys_at_fault(passes) == []
    assert keys_at_fault(fails) == [key]


def test_a_check_waits_until_the_keys_it_reads_are_sound(keys_at_fault: Callable[[Change], list[str]]) -> None:
    assert keys_at_fault({"engine.cylinders": "four", "engine.firing_order": [1, 2, 3]}) == ["engine.cylinders"]
    assert keys_at_fault({"engine.bore": "87 psi", "engine.firing_order": [1, 2, 3]}) == [
        "engine.bore",
        "engine.firing_order",
    ]
