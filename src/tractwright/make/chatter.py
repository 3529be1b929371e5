"""Whether roughing cutters whose tips were measured chatter at the shop's cut, and at which speed they cut deeper."""

from collections.abc import Iterator, Sequence

from tractwright.job.shop_tables import Cutter, CutterKind, Mill, Shop
from tractwright.make.cutting import SPECIFIC_J_MM3, turning
from tractwright.make.operations import largest
from tractwright.make.records import Chatter, Setup
from tractwright.reach.mills import mills_of
from tractwright.standards.chatter import Tip, limit_at_mm, teeth_in_cut
from tractwright.standards.cutting import spindle_rpm

_SPECIFIC_N_MM2 = 1e3 * SPECIFIC_J_MM3
_ROUGHING: tuple[CutterKind, ...] = ("flat", "bull")
_MOST_WAVES = 8
_SLOWEST, _FASTEST = 0.5, 1.3
"""A cutter may turn so many times its usual speed to get out of chatter. Source: shop_judgement."""


def chatter_of(shop: Shop, setups: Sequence[Setup]) -> tuple[Chatter, ...]:
    """One a roughing cutter that is used and whose tip or stable depth the sheet tells; on the mill where it is worse."""
    found = [
        min(judged, key=lambda one: one.limit_mm / one.deep_mm)
        for cutter in _used(shop, setups)
        if (judged := list(_on_mills(shop, cutter, setups)))
    ]
    return tuple(found)


def not_judged(shop: Shop, setups: Sequence[Setup]) -> tuple[str, ...]:
    """A note on the roughing cutters that nothing is known of, and on all else."""
    names = [cutter.name for cutter in _used(shop, setups) if cutter.stable_depth_mm is None and tip_of(cutter) is None]
    if not names and setups:
        return (
            "Regenerative chatter is judged for roughing only, by the tips as measured; thin walls' part in it is not.",
        )
    whose = f" of {', '.join(names)}" if names else ""
    needs = "it needs tip_frequency, tip_stiffness and tip_damping as measured, or stable_depth, in [[shop.cutter]]"
    return (f"Regenerative chatter is not judged{whose}: {needs}.",)


def tip_of(cutter: Cutter) -> Tip | None:
    """A cutter's tip as measured; None where one of its three figures is not told."""
    hertz, stiffness, damping = cutter.tip_frequency, cutter.tip_stiffness, cutter.tip_damping
    if hertz is None or stiffness is None or damping is None:
        return None
    return Tip(own_hz=hertz, stiffness_n_mm=1e3 * stiffness, damping=damping)


def _used(shop: Shop, setups: Sequence[Setup]) -> list[Cutter]:
    """The cutter that roughs, where these set-ups use it; seats and grooves are cut by others, and not at the shop's roughing
    depth.
    """
    used = {tool for setup in setups for tool in setup.tools}
    cutter = largest(shop, _ROUGHING, 200.0, 0.0)
    return [cutter] if cutter is not None and cutter.name in used else []


def _on_mills(shop: Shop, cutter: Cutter, setups: Sequence[Setup]) -> Iterator[Chatter]:
    """At the shop's width, depth and speed, on each mill that uses it."""
    deep = shop.rough_depth * cutter.diameter_mm
    tip, teeth = tip_of(cutter), teeth_in_cut(cutter.teeth, shop.rough_width)
    machines = {setup.machine for setup in setups if cutter.name in setup.tools}
    for mill in (mill for mill in mills_of(shop) if any(machine.startswith(mill.name) for machine in machines)):
        rpm = turning(shop, mill, cutter)[0]
        if cutter.stable_depth_mm is not None:
            yield Chatter(cutter=cutter.name, deep_mm=deep, rpm=rpm, limit_mm=cutter.stable_depth_mm)
        elif tip is not None:
            limit = limit_at_mm(tip, _SPECIFIC_N_MM2, teeth, rpm * cutter.teeth / 60.0)
            better, bears = _better(shop, mill, cutter, tip)
            yield Chatter(cutter=cutter.name, deep_mm=deep, rpm=rpm, limit_mm=limit, better_rpm=better, bears_mm=bears)


def _better(shop: Shop, mill: Mill, cutter: Cutter, tip: Tip) -> tuple[float, float]:
    """The speed near its usual one that bears the deepest cut, of those at which it swings a whole number of times a tooth."""
    usual = spindle_rpm(shop.cutting_speed_m_min, cutter.diameter_mm)
    teeth = teeth_in_cut(cutter.teeth, shop.rough_width)
    rpms = [60.0 * tip.own_hz / (cutter.teeth * waves) for waves in range(1, _MOST_WAVES + 1)]
    fair = [rpm for rpm in rpms if _SLOWEST * usual <= rpm <= min(_FASTEST * usual, mill.spindle_rpm)]
    bears = [(limit_at_mm(tip, _SPECIFIC_N_MM2, teeth, rpm * cutter.teeth / 60.0), rpm) for rpm in fair]
    deepest, rpm = max(bears, default=(0.0, 0.0))
    return rpm, deepest
