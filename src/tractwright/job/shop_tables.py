"""[shop]: machine, cutters, rates."""

from typing import Literal

from tractwright.job.fields import Length, Name, Number, Part, Vec3, assumed, needed, silent


class Cutter(Part):
    """One cutter. Where none is listed, a usual set is taken."""

    name: Name = needed("what the shop calls it", "ball 12 long")
    kind: Literal["ball", "flat", "undercutting"] = needed(
        "shape of its end; undercutting is a ball on a thin neck", "ball"
    )
    diameter_mm: Length = needed("of the cutting end", "12 mm", gt=0.5, lt=100)
    neck_mm: Length = needed("diameter of its neck, relieved or not", "11 mm", gt=0.3, lt=100)
    stickout_mm: Length = needed("from its tip to the holder", "100 mm", gt=2, lt=600)


class Shop(Part):
    """Machine, cutters, rates."""

    machine: Literal["3-axis", "rotary axis", "tilting table"] = assumed(
        "tilting table", "what the mill can do", "five directions in one hold", 0.1
    )
    travel_mm: Vec3 = assumed((800.0, 500.0, 500.0), "of the mill: x, y, z", "a middling mill", 0.01)
    longest_stickout: Number = assumed(
        8.0, "longest stick-out, in diameters of the cutter's neck", "judgement, unverified", 0.05, gt=2, le=20
    )
    cutter: tuple[Cutter, ...] = silent((), "the shop's own cutters", "a usual set")
    material: Literal["6061-T651", "7075-T651"] = assumed("6061-T651", "plate the pieces are cut from", "usual", 0.02)
    currency: Name = assumed("EUR", "of the rates and the price", "say your own", 0.0)
    rate_hour: Number = assumed(75.0, "machine and hand, an hour", "a guess", 0.3, ge=0)
    rate_programming_hour: Number = assumed(60.0, "at the desk, an hour", "a guess", 0.1, ge=0)
    stock_price_kg: Number = assumed(9.0, "plate, a kg", "a guess", 0.15, ge=0)
    position_mm: Length = assumed(
        0.03, "how far a bore or a hole may end up from its place", "one hold, a warm machine", 0.01, ge=0, le=1
    )
    saw_allowance_mm: Length = assumed(3.0, "stock over the finished size, a side", "usual", 0.02, ge=0, le=50)
