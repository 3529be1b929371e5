"""The floor of a pocket lies on the gasket: it must not bulge or break."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule

LEAST_MM = 3.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a pocket: metal under it."""
    flanges = {flange.name: flange for flange in case.design.flanges}
    for pocket in case.design.pockets:
        thick = flanges[pocket.flange].thickness_mm
        yield Reading(
            subject=f"pocket.{pocket.name}",
            measured=thick - pocket.depth_mm,
            unit="mm",
            at_least=LEAST_MM,
            message="The floor under this pocket is thin and chatters as it is cut: more head.pocket_floor in the sheet.",
            fix=Fix(path=f"pocket.{pocket.name}.depth_mm", value=thick - LEAST_MM, what="a shallower pocket"),
        )


RULE = Rule(
    id="wall.pocket_floor",
    question="Is the floor left under every pocket thick enough?",
    limit="3 mm; common practice",
    cure="head.pocket_floor of the sheet",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
