"""As little as a job can do with of what the tool chose by itself."""

from dataclasses import replace
from math import pi

from tractwright.job.engine_tables import Engine
from tractwright.job.sheet import is_said
from tractwright.route.records import JobFacts

_LEAST_VOLUME_SHARE = 0.5
"""A plenum may shrink to this share of what the air stage wants, and to no less than the displacement: engine_judgement."""


def modest(facts: JobFacts) -> JobFacts:
    """The job with the least plenum that will do."""
    volume = facts.wanted.plenum_volume_l
    if not is_said(facts.sheet, "plenum.volume"):
        volume = least_volume_l(facts, volume)
    return replace(facts, wanted=replace(facts.wanted, plenum_volume_l=volume))


def least_volume_l(facts: JobFacts, wanted_l: float) -> float:
    """The least plenum that will do where so much is wanted [litre]."""
    least, engine = _LEAST_VOLUME_SHARE * wanted_l, facts.sheet.engine
    if engine is None:
        return least
    return min(wanted_l, max(least, swept_l(engine)))


def swept_l(engine: Engine) -> float:
    """An engine's displacement [litre]."""
    return pi / 4 * engine.bore_mm**2 * engine.stroke_mm * engine.cylinders / 1e6
