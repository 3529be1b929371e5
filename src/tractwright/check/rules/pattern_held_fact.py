"""A number held in the description against what the sheet says of it."""

from collections.abc import Iterator
from math import isclose

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.file import LENGTH_TOLERANCE
from tractwright.design.paths import resolved, value_at
from tractwright.job.fields import key_of_field, unit_of_field
from tractwright.route.layout.standing import MADE_OF_IT, SAID, agrees, said_keys

_OF_PATH = {"flange.head.thickness_mm": ("head", "flange_mm")}


def judge(case: Case) -> Iterator[Reading]:
    """One reading a held value that the sheet says too: how far the two are apart."""
    for path, word in case.design.standing.items():
        table, key = _said_by(path) if word == "held" else ("", "")
        if not table or key not in said_keys(case.sheet, table):
            continue
        said, held = getattr(getattr(case.sheet, table), key), value_at(case.design, path)
        yield Reading(
            subject=path,
            measured=0.0 if agrees(held, said) or _as_laid(path, held, said) else _apart(held, said),
            unit=unit_of_field(key) or "off",
            at_most=0.0,
            broken="look",
            message=f"Held in design.toml, but the sheet says {table}.{key_of_field(key)} = {_words(said)}: change one of the "
            "two.",
        )


def _said_by(path: str) -> tuple[str, str]:
    """Table and key of the sheet that say a number of the description; empty where none does."""
    place = resolved(path)
    return _OF_PATH.get(path) or ({**SAID, **MADE_OF_IT}.get((place[0], place[2])) if place else None) or ("", "")


def _as_laid(path: str, held: object, said: object) -> bool:
    """Whether two lengths of a runner are one to the accuracy with which courses are laid."""
    if not (isinstance(held, float) and isinstance(said, float) and path.endswith(".length_mm")):
        return False
    return isclose(held, said, rel_tol=LENGTH_TOLERANCE)


def _words(said: object) -> str:
    return f"{said:g}" if isinstance(said, float) else str(said)


def _apart(held: object, said: object) -> float:
    """How far apart the two are; 1 where they are words."""
    if isinstance(held, str) or isinstance(said, str):
        return 1.0
    return float(np.abs(np.atleast_1d(np.array(held, dtype=float))[..., -1] - np.array(said, dtype=float)).max())


RULE = Rule(
    id="pattern.held_fact",
    question="Does every number held in the description agree with what the sheet says of it?",
    limit="no difference",
    cure="change one of the two",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
