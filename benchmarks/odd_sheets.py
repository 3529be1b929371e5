"""Sheets that combine keys as a shop's odd jobs do: every layout, shared and double ports, spacers, channels, bosses of every
kind, spellings of units, machines. All are invented. Same seed, same sheet.
"""

from dataclasses import dataclass
from math import pi, sqrt
from typing import Any

import numpy as np
import tomlkit

_MACHINES = ("3-axis", "rotary axis", "tilting table")
_PLACES = ("end_1", "end_2", "top", "side_1", "side_2")
_SIDES = ("side_1", "side_2", "end_2")
Sheet = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Engine:
    """What the rest of a sheet is fitted to. rows_mm : where the ports of a head stand along its row; apart_mm : from the
    middle plane of two heads, 0 of one head; ports : 'regular', 'shared' or 'double'.
    """

    layout: str
    cylinders: int
    bore_mm: float
    pitch_mm: float
    apart_mm: float
    ports: str
    width_mm: float
    height_mm: float
    screw_rise_mm: float
    rows_mm: tuple[float, ...]

    @property
    def one_head(self) -> bool:
        return self.layout == "inline"

    @property
    def ends_mm(self) -> list[float]:
        """Where screws stand: between ports of neighbouring cylinders and beyond the last."""
        beyond = 0.45 * self.pitch_mm + (0.1 * self.pitch_mm if self.ports != "shared" else 0.0)
        row = self.rows_mm
        groups = [(row[k] + row[k + 1]) / 2 for k in range(len(row) - 1)]
        if self.ports == "double":
            groups = groups[1::2]
        return [row[0] - beyond, *groups, row[-1] + beyond]


def odd_sheet(seed: int) -> str:
    """A sheet as text."""
    rng = np.random.default_rng((seed, 99))
    engine = _engine(rng)
    sheet: Sheet = {"job": {"name": f"odd-{seed}", "note": "Invented by a seeded script."}}
    sheet |= _engine_tables(rng, engine)
    sheet["pattern"] = _pattern(rng, engine)
    for name, table in (("air", _air), ("plenum", _plenum), ("head", _head), ("joint", _joint), ("shop", _shop)):
        if found := table(rng):
            sheet[name] = found
    sheet["runner"] = _runner(rng, engine)
    sheet["throttle"] = _throttle(rng, engine)
    if _by_chance(rng, 0.25):
        material = str(rng.choice(["cotton phenolic", "PEEK", "glass epoxy"]))
        sheet["spacer"] = {"material": material, "thickness": str(rng.choice(["8 mm", "0.25 in", "4 mm"]))}
    _carried(rng, engine, sheet)
    return tomlkit.dumps({name: table for name, table in sheet.items() if table})


def _by_chance(rng: np.random.Generator, share: float) -> bool:
    return bool(rng.uniform() < share)


def _spelt(rng: np.random.Generator, mm: float) -> float | str:
    """A length as one or another writes it."""
    return [round(mm, 2), f"{mm / 25.4:.4f} in", f"{mm / 10:.3f} cm", f"{mm:.1f} mm"][int(rng.integers(4))]


def _engine(rng: np.random.Generator) -> _Engine:
    layout = str(rng.choice(["inline", "inline", "inline", "vee", "flat"]))
    cylinders = int({"inline": rng.integers(1, 7), "vee": rng.choice([4, 6, 8]), "flat": rng.choice([4, 6])}[layout])
    bore, two = float(rng.uniform(68.0, 98.0)), layout != "inline"
    pitch = bore + float(rng.uniform(8.0, 14.0)) + (8.0 if two else 0.0)
    count = cylinders // 2 if two else cylinders
    row = [(k - (count - 1) / 2) * pitch for k in range(count)]
    ports = str(rng.choice(["regular", "shared", "double"], p=[0.6, 0.2, 0.2])) if not two and count > 1 else "regular"
    width = float(np.clip(0.5 * bore * rng.uniform(0.85, 1.1), 28.0, 0.58 * pitch))
    if ports == "shared" and count % 2 == 0:
        row = [(row[2 * k] + row[2 * k + 1]) / 2 for k in range(count // 2)]
    elif ports == "double":
        width = float(rng.uniform(24.0, 29.0))
        half = width / 2 + float(rng.uniform(6.0, 7.5))
        row = [x + side * half for x in row for side in (-1.0, 1.0)]
    else:
        ports = "regular"
    height = width * float(rng.uniform(0.68, 0.95))
    apart = {"inline": 0.0, "vee": float(rng.uniform(82.0, 115.0)), "flat": float(rng.uniform(110.0, 150.0))}[layout]
    return _Engine(
        layout=layout, cylinders=cylinders, bore_mm=bore, pitch_mm=pitch, apart_mm=apart, ports=ports, width_mm=width,
        height_mm=height, screw_rise_mm=height / 2 + float(rng.uniform(15.0, 20.0)), rows_mm=tuple(row),
    )  # fmt: skip


def _engine_tables(rng: np.random.Generator, engine: _Engine) -> Sheet:
    stroke = engine.bore_mm * rng.uniform(0.8, 1.1)
    table: Sheet = {"layout": engine.layout, "cylinders": engine.cylinders}
    table |= {"bore": _spelt(rng, engine.bore_mm), "stroke": _spelt(rng, stroke)}
    if _by_chance(rng, 0.5):
        table["wanted_peak"] = int(rng.integers(3800, 7600))
    elif _by_chance(rng, 0.5):
        table["band"] = ["3000 rpm", "6500 rpm"]
    if engine.one_head:
        return {"engine": table}
    numbers = list(range(1, engine.cylinders + 1))
    half = engine.cylinders // 2
    shares = (numbers[::2], numbers[1::2]) if _by_chance(rng, 0.5) else (numbers[:half], numbers[half:])
    table["firing_order"] = [number for pair in zip(*shares, strict=True) for number in pair]
    rise = 90.0 if engine.layout == "flat" else float(rng.uniform(35.0, 48.0))
    stand = {"rise": f"{rise:.1f} deg", "from_middle": _spelt(rng, engine.apart_mm)}
    offset = float(rng.uniform(0.0, 14.0))
    sides = zip(("left", "right"), shares, (-offset, offset), strict=True)
    banks = [{"side": side, "cylinders": share, "offset": f"{at:.1f} mm", **stand} for side, share, at in sides]
    return {"engine": table, "bank": banks}


def _pattern(rng: np.random.Generator, engine: _Engine) -> Sheet:
    shape = str(rng.choice(["circle", "oval", "rounded_rectangle", "d"]))
    table: Sheet = {"port_shape": shape, "port_width": _spelt(rng, engine.width_mm)}
    if shape != "circle":
        table["port_height"] = _spelt(rng, engine.height_mm)
    if _by_chance(rng, 0.3) and engine.one_head:
        table["port_rise"] = f"{rng.uniform(-5.0, 20.0):.0f} deg"
    if _by_chance(rng, 0.3):
        table["screw_thread"] = str(rng.choice(["M6", "M8", "M10", "5/16-18"]))
    if engine.ports == "regular":
        table |= {"pitch": _spelt(rng, engine.pitch_mm), "screw_rise": _spelt(rng, engine.screw_rise_mm)}
        return table
    each = 2 if engine.ports == "shared" else 1
    feeds = [[k * each + n + 1 for n in range(each)] if each == 2 else [k // 2 + 1] for k in range(len(engine.rows_mm))]
    table["port"] = [{"at": [round(x, 1), 0], "cylinders": fed} for x, fed in zip(engine.rows_mm, feeds, strict=True)]
    rise = engine.screw_rise_mm
    table["screw"] = [{"at": [round(x, 1), round(y * rise, 1)]} for x in engine.ends_mm for y in (-1, 1)]
    return table


def _air(rng: np.random.Generator) -> Sheet:
    table: Sheet = {}
    if _by_chance(rng, 0.5):
        table["boost"] = str(rng.choice(["17 psi", "0.9 bar", "1.4", "120 kPa"]))
    if _by_chance(rng, 0.3):
        table["fuel"] = str(rng.choice(["ethanol", "methanol", "petrol"]))
    return table


def _plenum(rng: np.random.Generator) -> Sheet:
    table: Sheet = {"corner_radius": "16 mm"} if _by_chance(rng, 0.2) else {}
    return table | ({"wall": "6 mm"} if _by_chance(rng, 0.2) else {})


def _head(rng: np.random.Generator) -> Sheet:
    table: Sheet = {"material": "cast iron"} if _by_chance(rng, 0.3) else {}
    if _by_chance(rng, 0.3):
        table["slots"] = str(rng.choice(["growth", "outer"]))
    if _by_chance(rng, 0.35):
        table |= {"pockets": True, "flange": f"{rng.uniform(13.0, 18.0):.0f} mm"}
    return table


def _joint(rng: np.random.Generator) -> Sheet:
    table: Sheet = {"seal_material": str(rng.choice(["FKM", "FKM", "NBR"]))}
    if _by_chance(rng, 0.2):
        table["thread"] = str(rng.choice(["M5", "M8", "1/4-20"]))
    if _by_chance(rng, 0.2):
        table["cord"] = str(rng.choice(["1.78 mm", "3.53 mm"]))
    return table | {"brace": _by_chance(rng, 0.5)}


def _shop(rng: np.random.Generator) -> Sheet:
    table: Sheet = {"machine": str(rng.choice(_MACHINES))} if _by_chance(rng, 0.5) else {}
    return table | ({"material": "7075-T651"} if _by_chance(rng, 0.15) else {})


def _runner(rng: np.random.Generator, engine: _Engine) -> Sheet:
    table: Sheet = {}
    if _by_chance(rng, 0.45):
        long = rng.uniform(150.0, 380.0) if engine.one_head else rng.uniform(1.9, 2.9) * engine.apart_mm
        table["length"] = _spelt(rng, float(long))
    if _by_chance(rng, 0.25):
        table["bore"] = _spelt(rng, sqrt(engine.width_mm * engine.height_mm) * float(rng.uniform(0.9, 1.05)))
    for key, share, values in (
        ("wall", 0.3, ["3.5 mm", "0.16 in", "5 mm"]),
        ("root_blend", 0.2, ["4 mm", "8 mm", "0.25 in"]),
        ("pieces", 0.3, ["as needed", "two"]),
    ):
        if _by_chance(rng, share):
            table[key] = str(rng.choice(values))
    return table


def _throttle(rng: np.random.Generator, engine: _Engine) -> Sheet:
    table: Sheet = {"place": str(rng.choice(_PLACES))}
    if _by_chance(rng, 0.3):
        litres = engine.cylinders * pi / 4 * engine.bore_mm**3 / 1e6
        table["bore"] = f"{np.clip(44.0 * sqrt(litres), 45.0, 90.0):.0f} mm"
    return table | ({"neck": "40 mm"} if _by_chance(rng, 0.3) else {})


def _carried(rng: np.random.Generator, engine: _Engine, sheet: Sheet) -> None:
    """Bosses, a channel, what the old part carried, and things that stand round it."""
    boss = {
        "injector": {
            "use": "injector",
            "share": 0.3,
            "clock": 90,
            "lean": 35,
            "pocket": [[14, 12], [11, 22]],
            "bore": 9,
        },
        "spray": {"use": "nozzle", "thread": "1/8 NPT", "share": 0.5, "clock": int(rng.choice([60, 90, -90]))},
        "air temperature": {
            "use": "sensor",
            "wall": "top",
            "thread": str(rng.choice(["M12x1.5", "3/8 NPT", "M14x1.5"])),
        },
        "brake servo": {"use": "vacuum", "wall": str(rng.choice(_SIDES)), "thread": "1/4 NPT"},
        "breather": {
            "use": "breather",
            "wall": str(rng.choice(_SIDES)),
            "thread": str(rng.choice(["1/2 NPT", "M18x1.5"])),
        },
        "rail post": {"use": "post", "runners": ["r1"], "share": 0.4, "thread": "M6", "blind": True, "height": "18 mm"},
        "coil bracket": {"use": "pad", "wall": "top", "thread": "M6", "blind": True, "top": "20 mm"},
        "balance pipe": {"bore": "6 mm", "share": 0.6, "clock": -90, "top": "14 mm"},
    }
    names = [str(name) for name in rng.permutation(list(boss))[: int(rng.integers(0, 5))]]
    sheet["boss"] = [{"name": name, "carries": name, **boss[name]} for name in names]
    if _by_chance(rng, 0.25) and engine.ports != "shared":
        sheet["channel"] = [_channel(rng, engine)]
        names.append("coolant")
    room: Sheet = {"carried": [{"name": name, "fate": "moved"} for name in names], "carried_all": True}
    low, high = (160.0, 320.0) if engine.one_head else (310.0, 430.0)
    if _by_chance(rng, 0.6) or not engine.one_head:
        room["plane"] = [{"name": "bonnet", "normal": [0, -1, 0], "offset": f"{-rng.uniform(low, high):.0f} mm"}]
    sheet["room"] = room


def _channel(rng: np.random.Generator, engine: _Engine) -> Sheet:
    """Coolant between two ports or beside the first, out or in the edge."""
    x, y = round(engine.rows_mm[0], 1), round(-engine.screw_rise_mm - 6.0, 1)
    channel: Sheet = {
        "name": "coolant outlet",
        "carries": "coolant",
        "at": [x, y],
        "width": "12 mm",
        "thread": "1/4 NPT",
    }
    if _by_chance(rng, 0.5):
        channel |= {"width": "8 mm", "leaves": "edge", "thread": "M10x1"}
    return channel if engine.one_head else channel | {"side": str(rng.choice(["left", "right"]))}
