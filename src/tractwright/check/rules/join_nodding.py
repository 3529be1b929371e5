"""A tall manifold nods on its flange: where the engine's own shaking finds it, a brace is due."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.weights import hanging

_ORDER = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a plenum without a brace: how fast it nods, against twice the highest revs; as measured on the solids where
    it was, else as beams.
    """
    engine = case.sheet.engine
    if engine is None or case.sheet.joint.brace:
        return
    for plenum in case.design.plena:
        if not any(runner.mouth.plenum == plenum.name for runner in case.design.runners):
            continue
        found = hanging(case, plenum)
        yield Reading(
            subject=f"plenum.{plenum.name}",
            measured=found.frequency_hz if case.loads.first_hz is None else case.loads.first_hz,
            unit="Hz",
            at_least=_ORDER * engine.highest_rpm / 60.0,
            broken="look",
            at_mm=plenum.frame.origin_mm,
            message=f"Some {found.mass_kg:.1f} kg on long runners nod in step with the engine: brace the plenum to "
            "the engine, and say joint.brace = true.",
        )


RULE = Rule(
    id="join.nodding",
    question="Is the manifold stiff enough not to nod in step with the engine?",
    limit="twice the highest revs, where most engines shake; runners as beams held at the head; judgement",
    cure="a brace from plenum to engine, thicker walls, shorter runners",
    bites_at="join",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
