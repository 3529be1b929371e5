"""The neck's bore against the throttle body that is bolted to it."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule

_STEP_MM = 0.2


def judge(case: Case) -> Iterator[Reading]:
    """One reading a throttle whose body is known, from the sheet or from a scan: the step between the two bores."""
    said = "bore_mm" in case.sheet.throttle.model_fields_set
    face = case.pattern.throttle_face
    known = case.sheet.throttle.bore_mm if said else face.bore_mm if face is not None else None
    if known is None:
        return
    for throttle in case.design.throttles:
        narrower = throttle.bore_mm < known
        how = "narrower: the air meets a step" if narrower else "wider: the air comes off the wall there"
        yield Reading(
            subject=f"throttle.{throttle.name}",
            measured=abs(throttle.bore_mm - known) / 2.0,
            unit="mm",
            at_most=_STEP_MM,
            broken="stop" if narrower else "look",
            at_mm=throttle.frame.origin_mm,
            message=f"The body's bore is {known:g} mm, the neck's is {how}. Bore the neck {known:g} mm.",
            fix=Fix(path=f"throttle.{throttle.name}.bore_mm", value=known, what=f"neck bored {known:g} mm"),
        )


RULE = Rule(
    id="air.neck_bore",
    question="Has the throttle neck the bore of the throttle body?",
    limit="a step of 0.2 mm; narrower a stop, wider a look; common practice",
    cure="the body's bore",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
