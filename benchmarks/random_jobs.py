"""Random jobs as sheets, inline and with two heads: facts only, written as a shop would write them. Same seed, same sheets."""

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import tomlkit

Class = Literal["feasible", "impossible", "free"]
_FACE_TO_FLOOR_MM = 45.0
_LUG_MM = 17.0
"""From a head screw's middle to the edge of the metal round it, and the clearance of a sheet that states none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RandomJob:
    """A sheet as text, the class it was made as, and the keys of the demands that were made to contradict."""

    name: str
    made_as: Class
    sheet: str
    planted: tuple[str, ...]


def open_sheet(seed: int) -> dict[str, Any]:
    """A job with all the room in front of the head: cylinders, ports, screws, lengths, boost at random."""
    rng = np.random.default_rng(seed)
    bore = float(rng.uniform(65.0, 100.0))
    pitch = bore + float(rng.uniform(7.0, 13.0))
    shape = str(rng.choice(["circle", "oval", "rounded_rectangle", "d"]))
    width = float(np.clip(0.52 * bore * rng.uniform(0.85, 1.1), 28.0, 0.62 * pitch))
    height = width if shape == "circle" else width * float(rng.uniform(0.62, 0.95))
    thread = "M8" if bore > 75 else "M6"
    sheet: dict[str, Any] = {
        "job": {"name": f"random-{seed}", "note": "Invented by a seeded script."},
        "engine": {
            "cylinders": int(rng.integers(3, 7)),
            "bore": f"{bore:.1f} mm",
            "stroke": f"{bore * rng.uniform(0.85, 1.15):.1f} mm",
            "wanted_peak": int(rng.integers(4000, 7500)),
        },
        "pattern": {
            "port_shape": shape,
            "port_width": f"{width:.1f} mm",
            "port_height": f"{height:.1f} mm",
            "port_corner_radius": f"{rng.uniform(0.2, 0.45) * height:.1f} mm",
            "port_lower_corner_radius": f"{rng.uniform(0.1, 0.2) * height:.1f} mm",
            "port_rise": f"{rng.choice([0.0, 0.0, rng.uniform(0.0, 25.0)]):.1f} deg",
            "pitch": f"{pitch:.1f} mm",
            "screw_thread": thread,
            "screw_rise": f"{height / 2 + rng.uniform(13.0, 20.0):.1f} mm",
        },
        "runner": {"length": f"{rng.uniform(150.0, 450.0):.0f} mm", "wall": f"{rng.uniform(3.5, 5.0):.1f} mm"},
        "throttle": {"bore": f"{rng.uniform(48.0, 75.0):.0f} mm"},
    }
    if rng.uniform() < 0.5:
        sheet["air"] = {"boost": f"{rng.uniform(4.0, 22.0):.0f} psi"}
    return sheet


def with_room(sheet: dict[str, Any], planes: list[tuple[str, tuple[float, float, float], float]]) -> dict[str, Any]:
    """The sheet with planes that the part stays in front of: name, normal, offset [mm]."""
    rows = [{"name": name, "normal": list(normal), "offset": f"{offset:.1f} mm"} for name, normal, offset in planes]
    return {**sheet, "room": {"plane": rows}}


def free_room(seed: int) -> list[tuple[str, tuple[float, float, float], float]]:
    """A bonnet, a floor and something in front, anywhere from tight to wide."""
    rng = np.random.default_rng((seed, 2))
    bonnet, floor, front = rng.uniform(90.0, 260.0), rng.uniform(80.0, 240.0), rng.uniform(150.0, 420.0)
    return [
        ("bonnet", (0.0, -1.0, 0.0), -float(bonnet)),
        ("floor", (0.0, 1.0, 0.0), -float(floor)),
        ("radiator", (0.0, 0.0, -1.0), -float(front)),
    ]


def impossible(seed: int) -> RandomJob:
    """A long held length in a slot that cannot hold it: a shallow box in front of the head, no lower than the head flange."""
    rng = np.random.default_rng((seed, 3))
    sheet = open_sheet(seed)
    sheet["runner"] = {**sheet["runner"], "length": f"{rng.uniform(380.0, 450.0):.0f} mm"}
    half = float(sheet["pattern"]["screw_rise"].split()[0]) + _LUG_MM + rng.uniform(0.5, 6.0)
    depth = float(rng.uniform(120.0, 170.0))
    planes = [
        ("bonnet", (0.0, -1.0, 0.0), -half),
        ("floor", (0.0, 1.0, 0.0), -half),
        ("radiator", (0.0, 0.0, -1.0), -depth),
    ]
    planted = ("runner.length", "room.plane.bonnet", "room.plane.floor", "room.plane.radiator")
    return RandomJob(
        name=f"impossible-{seed}", made_as="impossible", sheet=tomlkit.dumps(with_room(sheet, planes)), planted=planted
    )


def free(seed: int) -> RandomJob:
    """Whatever comes."""
    sheet = with_room(open_sheet(seed), free_room(seed))
    return RandomJob(name=f"free-{seed}", made_as="free", sheet=tomlkit.dumps(sheet), planted=())


def two_heads(seed: int) -> dict[str, Any]:
    """A vee of 60 to 90 degrees, three or four in a bank, with all the room before its heads."""
    rng = np.random.default_rng((seed, 5))
    sheet = open_sheet(seed)
    bank = int(rng.integers(3, 5))
    numbers = list(range(1, 2 * bank + 1))
    by_turns = bool(rng.integers(2))
    shares = (numbers[::2], numbers[1::2]) if by_turns else (numbers[:bank], numbers[bank:])
    angle, apart, offset = rng.uniform(60.0, 90.0), rng.uniform(75.0, 115.0), rng.uniform(0.0, 25.0)
    stand = {"rise": f"{angle / 2:.1f} deg", "from_middle": f"{apart:.1f} mm"}
    order = [number for pair in zip(*shares, strict=True) for number in pair]
    sheet["engine"] |= {"layout": "vee", "cylinders": 2 * bank, "firing_order": order}
    sheet["bank"] = [
        {"side": side, "cylinders": share, "offset": f"{way * offset / 2:.1f} mm", **stand}
        for side, share, way in zip(("left", "right"), shares, (-1.0, 1.0), strict=True)
    ]
    sheet["pattern"]["port_rise"] = "0 deg"
    sheet["runner"] |= {"length": f"{rng.uniform(1.9, 3.2) * apart:.0f} mm"}
    return sheet


def free_two_heads(seed: int) -> RandomJob:
    """A vee under a bonnet and between two wings, anywhere from tight to wide."""
    rng = np.random.default_rng((seed, 6))
    bonnet, floor, wings = rng.uniform(230.0, 420.0), rng.uniform(60.0, 120.0), rng.uniform(190.0, 320.0)
    planes = [("bonnet", (0.0, -1.0, 0.0), -float(bonnet)), ("floor", (0.0, 1.0, 0.0), -float(floor))]
    sheet = with_room(two_heads(seed), planes + _wings(float(wings)))
    return RandomJob(name=f"free-{seed}", made_as="free", sheet=tomlkit.dumps(sheet), planted=())


def impossible_two_heads(seed: int) -> RandomJob:
    """A long held length under a bonnet just over the heads, between wings and over a floor just past them."""
    rng = np.random.default_rng((seed, 7))
    sheet = two_heads(seed)
    sheet["runner"] |= {"length": f"{rng.uniform(420.0, 480.0):.0f} mm"}
    half = float(sheet["pattern"]["screw_rise"].split()[0]) + _LUG_MM + rng.uniform(3.0, 10.0)
    across = float(sheet["bank"][0]["from_middle"].split()[0]) + half
    planes = [("bonnet", (0.0, -1.0, 0.0), -half - 30.0), ("floor", (0.0, 1.0, 0.0), -half)]
    planted = ("runner.length", *(f"room.plane.{name}" for name in ("bonnet", "floor", "left wing", "right wing")))
    return RandomJob(
        name=f"impossible-{seed}",
        made_as="impossible",
        sheet=tomlkit.dumps(with_room(sheet, planes + _wings(across))),
        planted=planted,
    )


def _wings(apart_mm: float) -> list[tuple[str, tuple[float, float, float], float]]:
    """A wing either side of the engine."""
    return [("left wing", (0.0, 0.0, 1.0), -apart_mm), ("right wing", (0.0, 0.0, -1.0), -apart_mm)]
