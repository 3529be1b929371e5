"""A mouth needs air in front of it: the wall opposite must not stand close."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import is_throttled

_LEAST_BORES = 1.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a plenum: its depth over the bore of its largest mouth."""
    for plenum in case.design.plena:
        bores = [runner.mouth.bore_mm for runner in case.design.runners if runner.mouth.plenum == plenum.name]
        if not bores:
            continue
        share = plenum.depth_mm / max(bores)
        deep = round(_LEAST_BORES * max(bores), 1)
        yield Reading(
            subject=f"plenum.{plenum.name}",
            measured=share,
            unit="bores",
            at_least=_LEAST_BORES,
            broken="stop" if is_throttled(case, plenum) else "look",
            at_mm=plenum.frame.origin_mm,
            message=f"The cover stands so near to the mouths that it throttles them: {deep:g} mm deep at least.",
            fix=Fix(path=f"plenum.{plenum.name}.depth_mm", value=deep, what=f"plenum {deep:g} mm deep"),
        )


RULE = Rule(
    id="air.opposite_wall",
    question="Is the wall opposite the mouths far enough away?",
    limit="one bore from floor to cover; under 0.6 a stop; common practice",
    cure="a deeper plenum",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
