"""The cutter that goes round a plenum's inner corners, how far it bends."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.standards.cutting import tip_deflection_mm

_FINISHING_N = 20.0
_MOST_MM = 0.05


def judge(case: Case) -> Iterator[Reading]:
    """One reading a plenum: how far a finishing cut bends a cutter that goes round its corners and reaches its floor."""
    for plenum in case.design.plena:
        bends = tip_deflection_mm(2.0 * plenum.corner_radius_mm, plenum.depth_mm, _FINISHING_N)
        radius = round(plenum.corner_radius_mm * (bends / _MOST_MM) ** 0.25 + 0.5, 0)
        yield Reading(
            subject=f"plenum.{plenum.name}",
            measured=bends,
            unit="mm",
            at_most=_MOST_MM,
            broken="look",
            message=f"A cutter slim enough for these corners bends away and leaves the wall thick: {radius:g} mm corners, "
            "or less depth.",
            fix=Fix(
                path=f"plenum.{plenum.name}.corner_radius_mm",
                value=radius,
                what=f"inner corners of {radius:g} mm radius",
            ),
        )


RULE = Rule(
    id="cut.stiff",
    question="Is the cutter that goes round the plenum's inner corners stiff enough to leave its walls straight?",
    limit="0.05 mm at its tip under 20 N from the side (judgement); a carbide cantilever 0.8 as thick as the cutter",
    cure="a wider corner, less depth",
    bites_at="cut",
    needs="description",
    source="kops_vo_1990",
    judge=judge,
)
