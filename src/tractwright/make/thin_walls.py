"""Thin walls and long tools under the cut: how far they give way, and what a tooth that comes round near their own
frequency makes of it.
"""

from collections.abc import Iterator

from tractwright.design.records import Design, Plenum
from tractwright.job.shop_tables import Cutter, Shop
from tractwright.make.cutting import FINISHING_N, tooth_hz, turning, wall_bend_mm, wall_hz
from tractwright.make.operations import largest
from tractwright.make.sway import magnified, sway_of
from tractwright.reach.cutters import shop_cutters
from tractwright.reach.mills import mills_of
from tractwright.standards.materials import material
from tractwright.strength.side_held import SideHeld, side_held

_FREE_CORNER = 2.2
_TELL_MM = 0.02
_NEAR = 0.3


def thin_wall_notes(shop: Shop, design: Design) -> tuple[str, ...]:
    """Lines for each plenum whose walls, or the cutter that goes round its corners, move under a finishing cut."""
    return tuple(text for plenum in design.plena for text in (*_wall_notes(shop, plenum), *_tool_notes(shop, plenum)))


def _wall_notes(shop: Shop, plenum: Plenum) -> Iterator[str]:
    """Before the ends stand the wall is held at its foot only; as long as they stand, at three sides."""
    high, thick, long = plenum.depth_mm, plenum.wall_mm, max(plenum.width_mm, plenum.height_mm)
    wall = side_held(long, high, thick, material(shop.material))
    give = 1000.0 * FINISHING_N * wall.give_mm_n
    strip = 1000.0 * wall_bend_mm(FINISHING_N, high, thick, long)
    size = f"{plenum.name}: its long wall, {high:.0f} mm high and {thick:.1f} mm thick,"
    if give > 1000.0 * _TELL_MM:
        yield (
            f"{size} gives way some {give:.0f} um in the middle of its top under a finishing cut of {FINISHING_N:.0f} N "
            f"while both ends stand, {strip:.0f} um if held at its foot only and {_FREE_CORNER * strip:.0f} um at a free "
            "corner: finish it in steps down, both sides in turn."
        )
    cutter = largest(shop, ("flat", "ball", "bull"), 16.0, high) or shop_cutters(shop)[0]
    yield from _ringing(shop, cutter, f"{size} held at three sides", wall)
    foot_only = SideHeld(give_mm_n=strip / FINISHING_N / 1000.0, frequency_hz=wall_hz(high, thick))
    yield from _ringing(shop, cutter, f"{size} held at its foot only", foot_only)


def _ringing(shop: Shop, cutter: Cutter, what: str, wall: SideHeld) -> Iterator[str]:
    tooth, own = _tooth(shop, cutter), wall.frequency_hz
    if abs(tooth - own) < _NEAR * own:
        shakes = 1000.0 * FINISHING_N * wall.give_mm_n * magnified(tooth, own)
        yield (
            f"{what} rings at {own:.0f} Hz, and teeth of {cutter.name} come round {tooth:.0f} times a second: it shakes by "
            f"some {shakes:.0f} um. Change the speed by a third."
        )


def _tool_notes(shop: Shop, plenum: Plenum) -> Iterator[str]:
    """The cutter that goes round the inner corners and reaches the floor."""
    cutter = largest(shop, ("flat", "ball", "bull"), 2.0 * plenum.corner_radius_mm, plenum.depth_mm)
    if cutter is None:
        return
    sway = sway_of(shop, mills_of(shop)[0], cutter, plenum.depth_mm)
    if sway.shakes_mm > _TELL_MM:
        yield (
            f"{plenum.name}: {cutter.name}, {plenum.depth_mm:.0f} mm out, bends some {1000.0 * sway.bends_mm:.0f} um under a "
            f"finishing cut and shakes by {1000.0 * sway.shakes_mm:.0f} um as its teeth come round {sway.tooth_hz:.0f} times "
            f"a second (its own {sway.own_hz:.0f} Hz): a lighter last cut, or a thicker cutter."
        )


def _tooth(shop: Shop, cutter: Cutter) -> float:
    return tooth_hz(turning(shop, mills_of(shop)[0], cutter)[0], cutter.teeth)
