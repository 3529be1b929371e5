"""Mouths side by side: between two bores there has to be metal for the roundings of both, and to hold them apart."""

from collections.abc import Iterator
from itertools import combinations
from math import dist

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Plenum, Runner
from tractwright.geometry.frames import vec3

_ROUND_SHARE = 0.1
_FLAT_MM = 0.4
_WEB_MM = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a plenum: the metal between the two mouths that lie nearest to each other."""
    for plenum in case.design.plena:
        runners = [runner for runner in case.design.runners if runner.mouth.plenum == plenum.name]
        pairs = list(combinations(runners, 2))
        if pairs:
            yield _reading(plenum, *min(pairs, key=lambda pair: _between_mm(*pair)))


def _reading(plenum: Plenum, a: Runner, b: Runner) -> Reading:
    between = _between_mm(a, b)
    least = _ROUND_SHARE * (a.mouth.bore_mm + b.mouth.bore_mm) + _FLAT_MM
    thin = between < _WEB_MM
    why = "hardly any metal is left between them" if thin else "neither can be rounded as an entry should be"
    return Reading(
        subject="+".join(sorted((f"runner.{a.name}", f"runner.{b.name}"))),
        measured=between,
        unit="mm",
        at_least=least,
        broken="stop" if thin else "look",
        at_mm=vec3(plenum.frame.to_world((*a.mouth.at_mm, plenum.floor_mm))),
        message=f"These two mouths lie so near that {why}: spread the mouths, or take a smaller bore.",
    )


def _between_mm(a: Runner, b: Runner) -> float:
    return dist(a.mouth.at_mm, b.mouth.at_mm) - (a.mouth.bore_mm + b.mouth.bore_mm) / 2


RULE = Rule(
    id="air.mouths_apart",
    question="Do the mouths lie far enough from each other?",
    limit="metal for a rounding of 0.1 of the bore on both and 0.4 mm flat, else a look; under 2 mm (common practice) a stop",
    cure="mouths further apart, a smaller bore",
    bites_at="air",
    needs="description",
    source="idelchik_1989",
    judge=judge,
)
