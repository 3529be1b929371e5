"""What the tool wants gives way to the room; what the user holds does not."""

from dataclasses import replace

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.design.pattern import Pattern, Room
from tractwright.job.sheet import JobSheet
from tractwright.route.records import Described
from tractwright.route.stage import describe

_LENGTH_SHARES = (1.0, 0.85, 0.72, 0.6)
_LEAST_VOLUME_SHARE = 0.5
"""A plenum may shrink to this share of what the air stage wants, and to no less than the displacement: engine_judgement."""


def describe_within(sheet: JobSheet, pattern: Pattern, room: Room, wanted: Wanted, held: Held) -> Described:
    """The first description that meets every demand: as wanted, else with a smaller plenum, else shorter too.

    Only numbers that the tool chose give way. Where nothing does, the description as wanted, with what it falls short of.
    Each runner keeps the length that was wanted for it, so that the difference can be judged.
    """
    first = describe(sheet, pattern, room, wanted, held)
    if first.feasible:
        return first
    for smaller in _smaller(sheet, wanted):
        found = describe(sheet, pattern, room, smaller, held)
        if found.feasible:
            return _as_wanted(found, wanted)
    return first


def _smaller(sheet: JobSheet, wanted: Wanted) -> list[Wanted]:
    """Wants that ask for less, the nearest first."""
    volume = wanted.plenum_volume_l if sheet.plenum.volume_l is not None else _least_volume(sheet, wanted)
    shares = _LENGTH_SHARES if sheet.runner.length_mm is None else _LENGTH_SHARES[:1]
    found = [replace(wanted, plenum_volume_l=volume, length_mm=wanted.length_mm * share) for share in shares]
    return [item for item in found if item != wanted]


def _least_volume(sheet: JobSheet, wanted: Wanted) -> float:
    least = _LEAST_VOLUME_SHARE * wanted.plenum_volume_l
    if sheet.engine is None:
        return least
    bore, stroke = sheet.engine.bore_mm, sheet.engine.stroke_mm
    displacement = 0.7854 * bore**2 * stroke * sheet.engine.cylinders / 1e6
    return min(wanted.plenum_volume_l, max(least, displacement))


def _as_wanted(found: Described, wanted: Wanted) -> Described:
    runners = tuple(replace(runner, length_wanted_mm=wanted.length_mm) for runner in found.design.runners)
    return replace(found, design=replace(found.design, runners=runners))
