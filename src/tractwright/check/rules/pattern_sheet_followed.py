"""A size that the sheet says and the manifold could not be given."""

from collections import defaultdict
from collections.abc import Iterator
from operator import attrgetter

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import words
from tractwright.design.paths import items_by_path
from tractwright.design.records import Seal
from tractwright.job.fields import key_of_field, unit_of_field
from tractwright.route.layout.standing import SAID, agrees, said_keys

_SAID_ELSEWHERE = frozenset({"length_wanted_mm", "volume_l", "bore_mm", "property_class"})
"""Lengths, volumes and the throttle's bore have rules of their own; classes are named by their thread's system."""
_NONE_THERE = 0.0
"""A root or lip of nothing: there is no such place."""


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each size that the sheet says: how far what was made is from it, where that is furthest."""
    found: dict[tuple[str, str], list[tuple[float, str, object]]] = defaultdict(list)
    for path, item in items_by_path(case.design).items():
        for (kind, field), (table, key) in SAID.items() if _is_asked(case, path, item) else ():
            is_said = key in said_keys(case.sheet, table) and field not in _SAID_ELSEWHERE
            if path.startswith(f"{kind}.") and is_said and case.design.standing.get(f"{path}.{field}") != "held":
                made = attrgetter(field)(item)
                found[table, key].append((_off(made, getattr(getattr(case.sheet, table), key)), path, made))
    for (table, key), readings in found.items():
        yield _reading((table, key), getattr(getattr(case.sheet, table), key), readings)


def _reading(place: tuple[str, str], said: object, readings: list[tuple[float, str, object]]) -> Reading:
    """Place : table and field of the sheet."""
    key = f"{place[0]}.{key_of_field(place[1])}"
    off, path, made = max(readings, key=lambda item: item[:2])
    return Reading(
        subject=f"sheet.{key}",
        measured=off,
        unit=unit_of_field(place[1]) or "off",
        at_most=0.0,
        broken="look",
        message=f"The sheet says {key} = {_words(said)}, {words(path)} has {_words(made)}: what is on it needs that, or there "
        "is no room for more. Make room, or correct the sheet.",
    )


def _words(value: object) -> str:
    """A value in a sentence; of a schedule the least."""
    if isinstance(value, tuple):
        return _words(float(np.array(value, dtype=float)[..., -1].min()))
    return f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)


def _is_asked(case: Case, path: str, item: object) -> bool:
    """Not a piece that the user has drawn, nor its runners; nor a gasket, whose thickness is the head's."""
    drawn = bool(getattr(item, "own", "")) or (path.startswith("runner.") and case.described.own is not None)
    return not drawn and not (isinstance(item, Seal) and item.kind == "gasket")


def _off(value: object, said: object) -> float:
    """How far a value is from what was said; 1 where they are words, 0 where they agree or nothing was said."""
    if said is None or agrees(value, said) or value == _NONE_THERE:
        return 0.0
    if isinstance(said, str) or isinstance(value, str):
        return 1.0
    numbers = np.atleast_1d(np.array(value, dtype=float))[..., -1]
    return float(np.abs(numbers - np.array(said, dtype=float)).max())


RULE = Rule(
    id="pattern.sheet_followed",
    question="Has the manifold every size that the sheet says?",
    limit="no difference",
    cure="room for it, or the key out of the sheet",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
