"""The throttle's opening in the wall that carries it."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import is_throttled
from tractwright.design.records import Plenum, Throttle

_LEFT_MM = 1.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a throttle: wall left between its opening and floor, cover or the walls beside it. A plenum too shallow
    for its mouths is air.opposite_wall's to say.
    """
    plena = {plenum.name: plenum for plenum in case.design.plena}
    for throttle in (item for item in case.design.throttles if item.plenum in plena):
        plenum = plena[throttle.plenum]
        if is_throttled(case, plenum):
            continue
        left = _left_mm(throttle, plenum)
        side = min(left, key=lambda name: left[name])
        deeper = plenum.depth_mm + _LEFT_MM - left[side]
        yield Reading(
            subject=f"throttle.{throttle.name}",
            measured=left[side],
            unit="mm",
            at_least=_LEFT_MM,
            at_mm=throttle.frame.origin_mm,
            message=f"The throttle's opening runs into the {side} of the plenum: a larger plenum, or a smaller "
            "throttle.",
            fix=Fix(
                path=f"plenum.{plenum.name}.depth_mm",
                value=round(deeper + 0.05, 1),
                what=f"plenum {deeper:.1f} mm deep",
            )
            if side in ("floor", "cover")
            else None,
        )


def _left_mm(throttle: Throttle, plenum: Plenum) -> dict[str, float]:
    place = plenum.frame.to_local(np.array(throttle.frame.origin_mm)) - np.array([*plenum.centre_mm, 0.0])
    x, y, z = (float(value) for value in place)
    radius = throttle.bore_mm / 2
    along, across = plenum.width_mm / 2 - abs(x) - radius, plenum.height_mm / 2 - abs(y) - radius
    if throttle.place == "top":
        return {"end wall": along, "long wall": across}
    heights = {"floor": z - radius - plenum.floor_mm, "cover": plenum.floor_mm + plenum.depth_mm - z - radius}
    return heights | ({"long wall": across} if throttle.place.startswith("end") else {"end wall": along})


RULE = Rule(
    id="wall.throttle_opening",
    question="Does the throttle's opening lie within the wall that carries it?",
    limit="1.5 mm to floor, cover and the walls beside it; common practice",
    cure="a deeper plenum, or a smaller throttle",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
