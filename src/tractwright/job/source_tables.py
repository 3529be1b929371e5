"""[[gasket]] and [[reading]]: other sources of the pattern beside scan and sheet."""

from typing import Literal

from tractwright.job.fields import Length, Name, Number, Part, needed, silent

Unit = Literal["mm", "cm", "m", "inch"]


class Gasket(Part):
    """A gasket, drawn or laid on a flat-bed scanner: its openings and holes lie where the head's do."""

    file: Name = needed("the drawing (DXF) or picture (PNG or JPEG), beside the sheet", "gasket.dxf")
    unit: Unit | None = silent(None, "unit of a drawing's numbers", "the one the drawing states, else mm", example="mm")
    scale_bar_mm: Length | None = silent(
        None,
        "length of a straight dark bar that lies in the picture beside the gasket",
        "no bar: known, or dots_per_inch",
        example="100 mm",
        gt=5,
        lt=1000,
    )
    known_mm: Length | None = silent(
        None,
        "a known distance in the picture, between known_from and known_to",
        "none",
        example="300 mm",
        gt=5,
        lt=2000,
    )
    known_from: tuple[Number, Number] | None = silent(
        None, "where it begins: pixels from the picture's left and top edge", "no known distance", example=[310, 420]
    )
    known_to: tuple[Number, Number] | None = silent(
        None, "where it ends: pixels from the picture's left and top edge", "no known distance", example=[3850, 424]
    )
    dots_per_inch: Number | None = silent(
        None, "of the picture", "the picture's own, and doubted", example=300, gt=20, lt=5000
    )
    seen_from: Literal["front", "back"] = silent(
        "front", "the side seen: front is the side that faces the manifold, back the one on the head", "front"
    )
    port_1: Literal["left", "right"] = silent("left", "where port 1 lies, as it is seen there", "at the left")


class Reading(Part):
    """One reading of the callipers, on the head or on the old part. Names are those that `tractwright scan` prints."""

    of: tuple[Name, ...] = needed("the port or hole it was taken of, or the two it was taken between", ["s1", "s2"])
    over: Literal["diameter", "width", "height", "outside", "inside", "centres"] = needed(
        "diameter of a hole or round port; width or height of a port; outside: over both far edges; inside: between the "
        "two near edges; centres: from middle to middle",
        "outside",
    )
    along: Literal["straight", "x", "y"] = silent(
        "straight", "straight from one to the other (holes and round ports), or square to the other axis", "straight"
    )
    reads_mm: Length = needed("what the callipers said", "93.42 mm", gt=0, lt=2000)
    within_mm: Length = silent(
        0.05, "standard deviation of such a reading", "0.05 mm: callipers in a workshop", example="0.05 mm", gt=0, le=2
    )
