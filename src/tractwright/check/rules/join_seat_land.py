"""The whole of a head or washer must lie on metal: the post or pad under it is at least as wide."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import joint_of
from tractwright.check.screw_distances import envelope


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw with a post or pad of its own; cover screws sit on the cover."""
    for screw in case.design.screws:
        if joint_of(case, screw.joint).kind == "cover":
            continue
        across = 2.0 * envelope(screw).head_radius_mm
        wide = across + 2.0
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=screw.post_mm,
            unit="mm",
            at_least=across,
            at_mm=screw.seat_mm,
            message="Head or washer hangs over the edge of its post or pad and bends the screw: make that wider.",
            fix=Fix(path=f"screw.{screw.name}.post_mm", value=wide, what=f"post or pad {wide:g} mm across"),
        )


RULE = Rule(
    id="join.seat_land",
    question="Does the whole of every head or washer lie on metal?",
    limit="post or pad as wide as the head or its washer",
    cure="a wider post or pad",
    bites_at="join",
    needs="description",
    source="iso_7089",
    judge=judge,
)
