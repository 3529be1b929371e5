"""[shop]: mills, cutters, stock, holding, cutting data, rates."""

from typing import Literal

from tractwright.job.fields import Angle, Length, Name, Number, Part, Speed, Switch, Vec2, Vec3, assumed, needed, silent

MillKind = Literal["3-axis", "rotary axis", "tilting table"]
CutterKind = Literal["ball", "flat", "bull", "undercutting", "drill", "tap", "chamfer", "face"]


class Cutter(Part):
    """One cutter. Where none of a kind is listed, the usual ones of that kind are taken."""

    name: Name = needed("what the shop calls it", "ball 12 long")
    kind: CutterKind = needed("shape of its end; undercutting is a ball on a thin neck", "ball")
    diameter_mm: Length = needed("of the cutting end", "12 mm", gt=0.5, lt=200)
    neck_mm: Length = needed(
        "diameter of its neck, relieved or not; of the shank where there is no neck", "11 mm", gt=0.3, lt=100
    )
    stickout_mm: Length = needed("from its tip to the holder", "100 mm", gt=2, lt=600)
    corner_mm: Length = silent(0.0, "corner radius of a bull cutter", "a sharp corner", ge=0, lt=50)
    teeth: Number = silent(2.0, "cutting edges", "two", ge=1, le=12)
    holder_mm: Length | None = silent(
        None, "diameter of the holder it sits in", "`holder` of the shop", example="32 mm", gt=3, lt=200
    )
    tip_frequency: Number | None = silent(
        None,
        "its tip's lowest frequency as measured in the spindle, in Hz",
        "chatter is not judged",
        example=900,
        gt=20,
        lt=20000,
    )
    tip_stiffness: Number | None = silent(
        None, "its tip's stiffness as measured, in N/um", "chatter is not judged", example=8, gt=0.01, lt=1000
    )
    tip_damping: Number | None = silent(
        None,
        "its tip's damping as measured, a share of critical",
        "chatter is not judged",
        example=0.03,
        gt=0.0005,
        lt=0.5,
    )
    stable_depth_mm: Length | None = silent(
        None,
        "a depth it is known to rough at without chatter, at the shop's width and speed; wins over its tip's figures",
        "by its tip, else chatter is not judged",
        example="10 mm",
        gt=0.05,
        lt=200,
    )


class Mill(Part):
    """A further mill the shop has, beside the one of [shop]."""

    name: Name = needed("what the shop calls it", "small mill")
    machine: MillKind = needed("what the mill can do", "3-axis")
    travel_mm: Vec3 = needed("x, y, z", [500, 400, 400])
    table_mm: Vec2 = needed("the table or fixture plate, the longer side first", [600, 350])
    tilt_low_deg: Angle = silent(-30.0, "tilt one way, of a tilting table", "-30 deg", ge=-180, le=0)
    tilt_high_deg: Angle = silent(110.0, "tilt the other way, of a tilting table", "110 deg", ge=0, le=180)
    spindle_rpm: Speed = silent(10000.0, "highest speed of the spindle", "10000 rpm", ge=500, le=80000)
    power_kw: Number = silent(7.5, "the spindle's lasting power in kW", "7.5", gt=0.3, le=200)


class Plate(Part):
    """Plate or bar the shop can buy. Its thickness stays as bought; it is sawn to width and length."""

    thickness_mm: Length = needed("as bought", "60 mm", gt=2, le=600)
    width_mm: Length = needed("the most that can be had", "500 mm", gt=5, le=5000)
    length_mm: Length = needed("the most that can be had", "1000 mm", gt=5, le=10000)


class Shop(Part):
    """Mills, cutters, stock, holding, cutting data, rates."""

    machine: MillKind = assumed("tilting table", "what the mill can do", "five directions in one hold", 0.1)
    travel_mm: Vec3 = assumed((800.0, 500.0, 500.0), "of the mill: x, y, z", "a middling mill", 0.01)
    table_mm: Vec2 = assumed(
        (900.0, 500.0), "the table or fixture plate, the longer side first", "a middling mill", 0.01
    )
    tilt_low_deg: Angle = assumed(
        -30.0, "tilt one way, of a tilting table", "differs from mill to mill", 0.01, ge=-180, le=0
    )
    tilt_high_deg: Angle = assumed(
        110.0, "tilt the other way, of a tilting table", "differs from mill to mill", 0.02, ge=0, le=180
    )
    angle_head: Switch = assumed(
        True,
        "true where a right-angle head goes into the spindle: it cuts the end of a piece too long to stand up",
        "bought or hired",
        0.02,
    )
    spindle_rpm: Speed = assumed(12000.0, "highest speed of the spindle", "a middling mill", 0.03, ge=500, le=80000)
    power_kw: Number = assumed(11.0, "the spindle's lasting power in kW", "a middling mill", 0.02, gt=0.3, le=200)
    longest_stickout: Number = assumed(
        8.0, "longest stick-out, in diameters of the cutter's neck", "judgement, unverified", 0.05, gt=2, le=20
    )
    holder_mm: Length = assumed(
        40.0, "diameter of the cutters' holders", "a usual shrink or collet holder", 0.02, gt=3, lt=200
    )
    cutter: tuple[Cutter, ...] = silent((), "the shop's own cutters", "a usual set")
    mill: tuple[Mill, ...] = silent((), "further mills the shop has", "the one mill of [shop]")
    stock: tuple[Plate, ...] = silent((), "plate and bar the shop can buy", "usual metric plate, up to `largest_plate`")
    largest_plate_mm: Vec2 = assumed(
        (2000.0, 1000.0), "the largest usual plate, the longer side first", "as plate is sold", 0.0
    )
    material: Literal["6061-T651", "7075-T651"] = assumed("6061-T651", "plate the pieces are cut from", "usual", 0.02)
    saw_allowance_mm: Length = assumed(3.0, "stock over the finished size, a side", "usual", 0.02, ge=0, le=50)
    vices: Number = assumed(2.0, "vices that can stand in line under one block", "a pair", 0.0, ge=1, le=6)
    vice_jaw_mm: Length = assumed(150.0, "width of one vice's jaws", "usual", 0.0, gt=20, le=500)
    vice_opening_mm: Length = assumed(300.0, "widest that the vices take", "jaws outside", 0.0, gt=10, le=1500)
    vice_grip_mm: Length = assumed(
        8.0, "height of block that the jaws hold", "judgement, unverified", 0.01, gt=1, le=60
    )
    vice_force_kn: Number = assumed(
        20.0, "what one vice presses with, in kN", "judgement, unverified", 0.0, gt=0.5, le=200
    )
    fixture_plate: Switch = silent(
        True, "false where nothing can be screwed down to a plate: the shop has vices and soft jaws only", "it has one"
    )
    riser_mm: Length = assumed(
        50.0, "height the fixture lifts the work off the plate", "judgement, unverified", 0.01, ge=0, le=400
    )
    dowel_mm: Length = assumed(8.0, "dowels of the fixture plate", "usual", 0.0, gt=2, le=30)
    position_mm: Length = assumed(
        0.03, "how far a bore or a hole may end up from its place", "one hold, a warm machine", 0.01, ge=0, le=1
    )
    cutting_speed_m_min: Number = assumed(
        350.0, "cutting speed of carbide in m/min", "a cutting-tool maker's guide: 245 to 455", 0.05, gt=10, le=3000
    )
    chip_of_diameter: Number = assumed(
        0.008,
        "chip a tooth, in diameters of the cutter",
        "a cutting-tool maker's guide: 0.007 to 0.011",
        0.05,
        gt=0.0005,
        le=0.05,
    )
    rough_width: Number = assumed(
        0.4, "width of a roughing cut, in diameters", "judgement, unverified", 0.03, gt=0.02, le=1
    )
    rough_depth: Number = assumed(
        0.6, "depth of a roughing cut, in diameters", "judgement, unverified", 0.03, gt=0.02, le=4
    )
    ridge_mm: Length = assumed(
        0.02, "height of the ridges a ball cutter leaves", "judgement, unverified", 0.05, gt=0.0005, le=1
    )
    solids_for_cutting: Switch = silent(
        False,
        "true to write, to programme the cuts on, each piece with plain edges, the block as it is at each set-up and the "
        "fixture under it; adds about a minute to a packet, once for a description",
        "finished pieces, stock, passages and screws only",
    )
    setting_minutes: Number = assumed(30.0, "to set up once, in minutes", "judgement, unverified", 0.08, ge=0, le=600)
    currency: Name = assumed("EUR", "of the rates and the price", "say your own", 0.0)
    rate_hour: Number = assumed(75.0, "machine and hand, an hour", "a guess", 0.3, ge=0)
    rate_programming_hour: Number = assumed(60.0, "at the desk, an hour", "a guess", 0.1, ge=0)
    stock_price_kg: Number = assumed(9.0, "plate, a kg", "a guess", 0.15, ge=0)
    programming_hours: Number = assumed(2.5, "at the desk, a piece", "a guess", 0.08, ge=0, le=200)
    hand_hours: Number = assumed(0.5, "deburring and blending by hand, a piece", "a guess", 0.04, ge=0, le=100)
    test_hours: Number = assumed(0.75, "assembly and leak test, in all", "a guess", 0.02, ge=0, le=100)
    cutters_share: Number = assumed(
        0.07, "cutters worn, as a share of machine time's price", "a guess", 0.04, ge=0, le=1
    )
    parts_price: Number = assumed(65.0, "seals, screws and dowels, a set", "a guess", 0.03, ge=0)
    spacer_price: Number = silent(
        0.0, "an insulating spacer bought ready to bolt on, each", "cut in the shop from sheet", example=60, ge=0
    )
    spacer_sheet_price: Number = silent(
        4.0, "sheet for a spacer cut in the shop, a square decimetre", "4, a guess", example=4, ge=0
    )


ONLY_PRICED = (
    "rate_hour", "rate_programming_hour", "stock_price_kg", "programming_hours", "hand_hours", "test_hours",
    "cutters_share", "parts_price", "spacer_price", "spacer_sheet_price",
)  # fmt: skip
"""Fields of [shop] that move nothing but the price."""
