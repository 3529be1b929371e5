"""The bore of a neck, or of a runner's mouth, against the throttle body that is bolted to it."""

from collections.abc import Iterator
from math import dist

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.design.mouths import ground_of
from tractwright.design.records import Runner, Throttle

_STEP_MM = 0.2


def judge(case: Case) -> Iterator[Reading]:
    """One reading a throttle whose body is known, from the sheet or from a scan: the step between the two bores."""
    said = "bore_mm" in case.sheet.throttle.model_fields_set
    face = case.pattern.throttle_face
    known = case.sheet.throttle.bore_mm if said else face.bore_mm if face is not None else None
    if known is None:
        return
    rows = {row.name for row in case.design.body_rows}
    for throttle in case.design.throttles:
        if throttle.plenum not in rows:
            path = f"throttle.{throttle.name}"
            yield _reading(throttle, (path, "neck", f"{path}.bore_mm"), (throttle.bore_mm, known))
    for runner in case.design.runners:
        if runner.mouth.plenum in rows:
            throttle = _at_mouth(case, runner)
            path = f"runner.{runner.name}"
            yield _reading(throttle, (path, "runner", f"{path}.mouth.bore_mm"), (runner.mouth.bore_mm, known))


def _at_mouth(case: Case, runner: Runner) -> Throttle:
    """The throttle whose face lies nearest to a runner's mouth."""
    place = ground_of(runner, case.design).frame.to_world((*runner.mouth.at_mm, 0.0))
    return min(case.design.throttles, key=lambda item: dist(item.frame.origin_mm, place))


def _reading(throttle: Throttle, names: tuple[str, str, str], bores_mm: tuple[float, float]) -> Reading:
    """A passage against its body. names : what is judged, in words, the number that mends it; bores_mm : ours, the body's."""
    subject, what, path = names
    ours, known = bores_mm
    narrower = ours < known
    how = "narrower: the air meets a step" if narrower else "wider: the air comes off the wall there"
    return Reading(
        subject=subject,
        measured=abs(ours - known) / 2.0,
        unit="mm",
        at_most=_STEP_MM,
        broken="stop" if narrower else "look",
        at_mm=throttle.frame.origin_mm,
        message=f"The body's bore is {known:g} mm, the {what}'s is {how}. Bore the {what} {known:g} mm.",
        fix=Fix(path=path, value=known, what=f"{what} bored {known:g} mm"),
    )


RULE = Rule(
    id="air.neck_bore",
    question="Has the throttle neck, or the runner under a throttle body, the bore of that body?",
    limit="a step of 0.2 mm; narrower a stop, wider a look; common practice",
    cure="the body's bore",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
