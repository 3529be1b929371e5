"""Thin walls under the cutter: how far a plenum's wall gives way, and whether a tooth comes round near its own frequency."""

from tractwright.design.records import Design
from tractwright.job.shop_tables import Shop
from tractwright.make.cutting import FINISHING_N, tooth_hz, turning, wall_bend_mm, wall_hz
from tractwright.make.mills import mills_of
from tractwright.make.operations import largest
from tractwright.reach.cutters import shop_cutters

_TELL_MM = 0.02
_NEAR = 0.3


def thin_wall_notes(shop: Shop, design: Design) -> tuple[str, ...]:
    """A line for each plenum whose walls move under a finishing cut, or ring near the tooth passing; strip formulas."""
    return tuple(
        text
        for plenum in design.plena
        for text in _notes(shop, plenum.name, plenum.depth_mm, plenum.wall_mm, plenum.width_mm)
    )


def _notes(shop: Shop, name: str, high: float, thick: float, long: float) -> tuple[str, ...]:
    bend = wall_bend_mm(FINISHING_N, high, thick, long)
    cutter = largest(shop, ("flat", "ball", "bull"), 16.0, high) or shop_cutters(shop)[0]
    ring = wall_hz(high, thick)
    tooth = tooth_hz(turning(shop, mills_of(shop)[0], cutter)[0], cutter.teeth)
    found: list[str] = []
    if bend > _TELL_MM:
        found.append(
            f"{name}: its long wall, {high:.0f} mm high and {thick:.1f} mm thick, gives way some {1000 * bend:.0f} um under a "
            f"finishing cut of {FINISHING_N:.0f} N if held at its foot only: finish it in steps down, both sides in turn."
        )
    if abs(tooth - ring) < _NEAR * ring:
        found.append(
            f"{name}: teeth of {cutter.name} come round {tooth:.0f} times a second, near the long wall's own {ring:.0f} Hz: "
            "change the speed by a third."
        )
    return tuple(found)
