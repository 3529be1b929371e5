"""[[channel]]: ways for coolant, exhaust gas or crankcase gas that the old part carried through its flange."""

from typing import Literal

from tractwright.job.fields import Angle, Length, Name, Part, Temperature, Vec2, needed, silent


class ChannelFacts(Part):
    """A way from an opening in the head's face to a fitting on the head flange, apart from the air: sunk into the flange by
    its own outline, and drilled. The gasket goes round it.
    """

    name: Name = needed("what it is: findings say it", "coolant outlet")
    fluid: Literal["coolant", "exhaust gas", "crankcase gas"] = silent("coolant", "what flows in it", "coolant")
    side: Literal["left", "right"] | None = silent(
        None, "which head of two it belongs to", "the one head; needed where there are two", example="left"
    )
    at_mm: Vec2 = needed("the middle of its opening: x along the row, y up, on the head's face", [0, -32])
    shape: Literal["circle", "oval", "rounded_rectangle"] = silent("circle", "outline of its opening", "circle")
    width_mm: Length = needed(
        "of the opening, along the row before it is turned; the diameter of a circle", "16 mm", gt=3, lt=80
    )
    height_mm: Length | None = silent(None, "of the opening", "as high as wide", example="12 mm", gt=3, lt=80)
    corner_radius_mm: Length = silent(
        4.0,
        "radius of the corners of a rounded rectangle: a cutter goes round them",
        "4 mm",
        example="4 mm",
        ge=1.5,
        le=30,
    )
    turn_deg: Angle = silent(0.0, "the opening turned counter-clockwise", "level", example="30 deg", ge=-180, le=180)
    leaves: Literal["out", "edge"] = silent(
        "out", "where the fitting stands: out on the flange's outer face, or in its edge", "out", example="edge"
    )
    port_at_mm: Vec2 | None = silent(
        None,
        "where a fitting that stands out has its middle: elsewhere than over the opening, a drilling in the flange joins the "
        "two, closed by a plug",
        "over its opening",
        example=[30, -40],
    )
    towards_deg: Angle | None = silent(
        None, "of a fitting in the edge: which way it looks; 0 along the row, 90 up", "away from the row of ports",
        example="-90 deg", ge=-360, le=360,
    )  # fmt: skip
    thread: Name = needed("of the fitting: metric, inch or taper pipe thread", "3/8 NPT")
    bore_mm: Length | None = silent(
        None, "of its drillings", "as wide as thread, opening and flange allow", example="10 mm", gt=2, lt=60
    )
    plug: Name | None = silent(
        None, "taper pipe plug that closes a drilling in the flange", "the smallest that closes it", example="1/8 NPT"
    )
    post_mm: Length | None = silent(
        None,
        "diameter of the post under a fitting that stands out",
        "enough round its thread",
        example="24 mm",
        gt=5,
        lt=120,
    )
    warm_degc: Temperature | None = silent(
        None, "how warm the fluid is for good", "110 C; exhaust gas 300 C", example=95, ge=0, le=900
    )
    swing_mm: Length | None = silent(
        None, "diameter of the free way over it for the fitting, its hose and spanner", "from its thread", example="34 mm",
        gt=0, lt=300,
    )  # fmt: skip
    reach_mm: Length = silent(50.0, "length of that free way", "50 mm", example="70 mm", gt=0, lt=600)
    carries: Name | None = silent(
        None,
        "what of the old part it carries on: a name of [[room.carried]]",
        "nothing of it",
        example="coolant outlet",
    )


USUAL_DEGC = {"coolant": 110.0, "exhaust gas": 300.0, "crankcase gas": 110.0}
"""How warm a fluid is where the sheet does not say. Source: shop_judgement."""
