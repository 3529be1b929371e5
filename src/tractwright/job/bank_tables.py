"""[[bank]]: where the two heads of a vee or a flat engine stand."""

from typing import Literal

from tractwright.job.fields import Angle, Count, Length, Part, Place, needed, silent


class BankFacts(Part):
    """A head of an engine with two. [pattern] holds for each of them, as one sees it who faces that head."""

    side: Literal["left", "right"] = needed(
        "where it stands, seen along x from cylinder 1's end: z is below 0 at the left, above 0 at the right", "left"
    )
    cylinders: tuple[Count, ...] = needed("the numbers of its cylinders, in the order of x", [1, 2, 3])
    rise_deg: Angle = needed(
        "which way its head face looks: 0 level, straight at the other bank; 90 deg straight up", "45 deg", ge=10, le=90
    )
    from_middle_mm: Length = needed(
        "from the engine's middle plane, z = 0, to the middle of its row of ports", "80 mm", gt=10, lt=500
    )
    offset_mm: Place = silent(
        0.0, "how far the middle of its row of ports stands from x = 0", "at x = 0", example="-18 mm"
    )
