"""What each feature takes: tools out of the shop's list, and minutes as a range with how they come about.

A program spends only part of its time in the cut; the shares below are judgement, no source.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from tractwright.job.shop_tables import Cutter, CutterKind, Mill, Shop
from tractwright.make.cutting import ball_rate, roughing
from tractwright.make.feature import Feature
from tractwright.make.records import Operation, Sway
from tractwright.make.sway import sway_of
from tractwright.reach.cutters import shop_cutters, stickout_limit, usual_cutters
from tractwright.standards.threads import thread

_ROUGHING_SHARE, _FINISHING_SHARE = (0.6, 0.25), (0.85, 0.5)
_DRILL, _TAP, _REAM, _SEAT, _BOSS = (0.3, 0.8), (0.4, 1.0), (0.5, 1.2), (0.5, 1.5), (1.5, 4.0)
_TOOL_CHANGE = (0.1, 0.3)
_DEEP, _OVER_MM = 5.0, 5.0
_LONG_SHARE = 0.25
"""A cutter standing far out of its holder takes that share of what a short one takes. Judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What an operation is worked out for: shop, mill, cutters that reach the piece's passages and those that reach its
    outside, by name with how far they stand out [mm]; borne_n : the mean force of roughing that the hold bears [N].
    """

    shop: Shop
    mill: Mill
    passage_cutters: Mapping[str, float]
    outside_cutters: Mapping[str, float]
    borne_n: float


def operation(bench: Bench, feature: Feature) -> Operation:
    """One feature's cut."""
    makers = {
        "rough face": _rough_face, "finish face": _finish_face, "holes": _holes, "threads": _threads,
        "fixture threads": _fixture_threads, "dowel holes": _dowels, "seats": _seats, "groove": _groove, "inside": _inside,
        "bore": _bore, "passages": _passages, "pocket": _inside, "boss": _boss, "outside": _outside,
    }  # fmt: skip
    tools, minutes, how = makers[feature.work](bench, feature)
    low, high = (value + len(tools) * change for value, change in zip(minutes, _TOOL_CHANGE, strict=True))
    return Operation(what=feature.name, tools=tools, minutes=(low, high), how=how, sway=_sway(bench, feature, tools))


def _sway(bench: Bench, feature: Feature, tools: tuple[str, ...]) -> Sway | None:
    """Of the cutter that bends most where a cut is deep: in passages, over the outside, down walls."""
    deep = dict.fromkeys(tools, feature.depth_mm + _OVER_MM) if feature.work in ("inside", "pocket") else {}
    out = {"passages": bench.passage_cutters, "outside": bench.outside_cutters}.get(feature.work, deep)
    known = {cutter.name: cutter for cutter in shop_cutters(bench.shop, ("ball", "undercutting", "flat", "bull"))}
    known |= {cutter.name: cutter for cutter in shop_cutters(bench.shop)}
    found = [
        sway_of(bench.shop, bench.mill, known[name], mm)
        for name, mm in out.items()
        if name in known and mm <= stickout_limit(bench.shop, known[name])
    ]
    return max(found, key=lambda one: one.shakes_mm, default=None)


Found = tuple[tuple[str, ...], tuple[float, float], str]


def largest(shop: Shop, kinds: tuple[CutterKind, ...], widest_mm: float, deep_mm: float) -> Cutter | None:
    """The largest cutter of these kinds that goes into a width and reaches a depth; None where the shop has none."""
    fair = [c for c in shop_cutters(shop, kinds) if c.diameter_mm <= widest_mm and stickout_limit(shop, c) >= deep_mm]
    return max(fair, key=lambda cutter: cutter.diameter_mm, default=None)


def _or_needed(cutter: Cutter | None, words: str) -> tuple[str, ...]:
    return (cutter.name,) if cutter else (f"{words} (not in the shop's list)",)


def _roughed(bench: Bench, cutter: Cutter | None, volume_mm3: float) -> tuple[tuple[float, float], str]:
    if volume_mm3 <= 0.0:
        return (0.0, 0.0), ""
    if cutter is None:
        minutes, how = _roughed(bench, _usual("flat", 20.0), volume_mm3)
        return minutes, f"{how}, as with the cutter that is missing"
    cut = roughing(bench.shop, bench.mill, cutter, bench.borne_n)
    inner = volume_mm3 / cut.removal_mm3_min
    how = f"{volume_mm3 / 1e3:.0f} cm3 at {cut.removal_mm3_min / 1e3:.0f} cm3/min, {cut.power_kw:.1f} kW"
    return (inner / _ROUGHING_SHARE[0], inner / _ROUGHING_SHARE[1]), how


def _finished(bench: Bench, cutter: Cutter | None, area_mm2: float) -> tuple[tuple[float, float], str]:
    if area_mm2 <= 0.0:
        return (0.0, 0.0), ""
    if cutter is None:
        minutes, how = _finished(bench, _usual("ball", 12.0), area_mm2)
        return minutes, f"{how}, as with the cutter that is missing"
    rate = ball_rate(bench.shop, bench.mill, cutter)
    inner = area_mm2 / rate
    how = f"{area_mm2 / 100:.0f} cm2 at {rate / 100:.0f} cm2/min, ridges {bench.shop.ridge_mm:g} mm"
    return (inner / _FINISHING_SHARE[0], inner / _FINISHING_SHARE[1]), how


def _usual(kind: CutterKind, widest_mm: float) -> Cutter:
    """The largest usual cutter of a kind up to a size: what a missing one is reckoned as, so that no cut counts as none."""
    return max(
        (cutter for cutter in usual_cutters() if cutter.kind == kind and cutter.diameter_mm <= widest_mm),
        key=lambda cutter: cutter.diameter_mm,
    )


def _sum(first: tuple[float, float], second: tuple[float, float]) -> tuple[float, float]:
    return first[0] + second[0], first[1] + second[1]


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def _flat(bench: Bench, feature: Feature) -> Cutter | None:
    return largest(bench.shop, ("face",), 200.0, 0.0) or largest(bench.shop, ("flat", "bull"), 200.0, 0.0)


def _rough_face(bench: Bench, feature: Feature) -> Found:
    cutter = largest(bench.shop, ("flat", "bull"), 200.0, 0.0)
    minutes, how = _roughed(bench, cutter, feature.volume_mm3)
    return _or_needed(cutter, "flat cutter"), minutes, how


def _finish_face(bench: Bench, feature: Feature) -> Found:
    cutter = _flat(bench, feature)
    passes = 2.0 * feature.area_mm2
    if cutter is None:
        return _or_needed(None, "face cutter"), (2.0, 6.0), ""
    cut = roughing(bench.shop, bench.mill, cutter)
    inner = passes / (0.6 * cutter.diameter_mm * cut.feed_mm_min)
    return (cutter.name,), (1.0 + inner, 3.0 + 3.0 * inner), f"{feature.area_mm2 / 100:.0f} cm2, two passes"


def _per_hole(feature: Feature, *each: tuple[float, float]) -> tuple[float, float]:
    slow = 1.0 + max(0.0, feature.depth_mm / max(feature.diameter_mm, 5.0) - _DEEP) * 0.2
    return feature.count * sum(e[0] for e in each), feature.count * slow * sum(e[1] for e in each)


def _holes(bench: Bench, feature: Feature) -> Found:
    tools = ("centre drill", f"drill {feature.diameter_mm:g}", "chamfer")
    return tools, _per_hole(feature, _DRILL), f"{feature.count} holes, {feature.depth_mm:.0f} mm deep"


def _threads(bench: Bench, feature: Feature) -> Found:
    tapped = thread(feature.thread)
    tools = ("centre drill", f"drill {tapped.tap_drill}", "chamfer", f"tap {tapped.designation}")
    return tools, _per_hole(feature, _DRILL, _TAP), f"{feature.count} threads {tapped.designation}"


def _fixture_threads(bench: Bench, feature: Feature) -> Found:
    tools, minutes, how = _threads(bench, feature)
    return (
        tools,
        minutes,
        f"{how}, {feature.depth_mm:.0f} mm deep; these holes are opened to size from the seats' side only",
    )


def _dowels(bench: Bench, feature: Feature) -> Found:
    size = feature.diameter_mm
    tools = ("centre drill", f"drill {size - 0.3:g}", f"reamer {size:g} H7")
    return tools, _per_hole(feature, _DRILL, _REAM), f"{feature.count} holes {size:g} H7"


def _seats(bench: Bench, feature: Feature) -> Found:
    cutter = largest(bench.shop, ("flat",), feature.diameter_mm, feature.depth_mm)
    return (
        _or_needed(cutter, "flat cutter"),
        _per_hole(feature, _SEAT),
        f"{feature.count} seats {feature.diameter_mm:g} wide",
    )


def _groove(bench: Bench, feature: Feature) -> Found:
    cutter = largest(bench.shop, ("flat",), feature.diameter_mm - 0.2, feature.depth_mm)
    length = feature.area_mm2 / max(feature.diameter_mm, 0.1)
    if cutter is None:
        return _or_needed(None, "flat cutter for the groove"), (3.0, 12.0), ""
    feed = roughing(bench.shop, bench.mill, cutter).feed_mm_min
    rows = 2.0 + 2.0 * feature.depth_mm / (0.5 * cutter.diameter_mm)
    inner = rows * length / feed
    return (cutter.name,), (inner / 0.8, inner / 0.3), f"{length:.0f} mm long, {rows:.0f} rounds"


def _inside(bench: Bench, feature: Feature) -> Found:
    corner = feature.diameter_mm or 12.0
    big = largest(bench.shop, ("flat", "bull"), 200.0, 0.0)
    small = largest(bench.shop, ("flat", "bull", "ball"), corner, feature.depth_mm + _OVER_MM)
    ball = largest(bench.shop, ("ball",), corner, feature.depth_mm + _OVER_MM)
    rough, first = _roughed(bench, big, feature.volume_mm3)
    fine, second = _finished(bench, ball, feature.area_mm2)
    tools = dict.fromkeys(
        (
            *_or_needed(big, "flat cutter"),
            *_or_needed(small, "cutter for the corners"),
            *_or_needed(ball, "ball cutter"),
        )
    )
    return tuple(tools), _sum(rough, fine), _joined(first, second)


def _bore(bench: Bench, feature: Feature) -> Found:
    big = largest(bench.shop, ("flat", "bull"), 0.7 * feature.diameter_mm, 0.0)
    rough, how = _roughed(bench, big, feature.volume_mm3)
    return (*_or_needed(big, "flat cutter"), "boring head"), _sum(rough, (2.0, 6.0)), how


def _passages(bench: Bench, feature: Feature) -> Found:
    known = {cutter.name: cutter for cutter in shop_cutters(bench.shop)}
    under = tuple(name for name, cutter in known.items() if cutter.kind == "undercutting")
    balls = sorted(known, key=lambda name: -known[name].diameter_mm)
    names = tuple(bench.passage_cutters) or under[:1] or tuple(balls[:1])
    main = known.get(names[0]) if names else None
    rough, first = _roughed(bench, main, feature.volume_mm3 / _LONG_SHARE)
    fine, second = _finished(bench, main, feature.area_mm2)
    first = f"{feature.volume_mm3 / 1e3:.0f} cm3 at {100 * _LONG_SHARE:.0f} % of a short cutter's rate" if first else ""
    return names, _sum(rough, fine), _joined(first, second)


def _boss(bench: Bench, feature: Feature) -> Found:
    drill = f"drill {feature.diameter_mm:g}" if feature.diameter_mm else "drill"
    reamer = ("taper reamer 1 in 16",) if feature.thread.upper().endswith("NPT") else ()
    tools = ("centre drill", drill, *reamer, *((f"tap {feature.thread}",) if feature.thread else ()))
    return tools, _per_hole(feature, _BOSS), f"{feature.count} bosses"


def _outside(bench: Bench, feature: Feature) -> Found:
    known = {cutter.name: cutter for cutter in shop_cutters(bench.shop)}
    big = largest(bench.shop, ("flat", "bull"), 200.0, 0.0)
    ball = next((known[name] for name in bench.outside_cutters if name in known), None)
    rough, first = _roughed(bench, big, feature.volume_mm3)
    fine, second = _finished(bench, ball, feature.area_mm2)
    tools = (*_or_needed(big, "flat cutter"), *bench.outside_cutters)
    return tuple(dict.fromkeys(tools)), _sum(rough, fine), _joined(first, second)
