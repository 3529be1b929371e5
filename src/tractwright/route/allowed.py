"""What the room was found to allow of what the air asks for."""

from tractwright.air.records import Allowed
from tractwright.route.records import Described, JobFacts

_NEAR_SHARE = 0.05
"""Runners drawn that near the length asked for want no other sizes. Source: engine_judgement."""
_SHORTEST_SHARE = 0.7
"""Of the length drawn, how much shorter ones are worth a look. Source: engine_judgement."""


def allowed_by(facts: JobFacts, described: Described) -> Allowed | None:
    """Lengths and volumes that there is room for, where the room did not give the length that the air chose; None where it
    did, where the length is the user's word, and where nothing was found that meets the demands.
    """
    wanted = facts.wanted
    if facts.sheet.engine is None or facts.own is not None or facts.holds_length or not described.feasible:
        return None
    drawn = max(runner.length_mm for runner in described.design.runners)
    if abs(drawn / wanted.length_mm - 1.0) <= _NEAR_SHARE:
        return None
    volume = min(sum(plenum.volume_l for plenum in described.design.plena), wanted.plenum_volume_l)
    longest = Allowed().length_mm[1]
    lengths = (_SHORTEST_SHARE * drawn, drawn) if drawn < wanted.length_mm else (drawn, max(longest, 1.2 * drawn))
    return Allowed(length_mm=lengths, volume_l=(volume, volume))
