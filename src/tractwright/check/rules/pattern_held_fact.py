"""A number held in the description against what the sheet says of it."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.paths import resolved, value_at
from tractwright.job.fields import key_of_field, unit_of_field
from tractwright.route.layout.standing import SAID, agrees


def judge(case: Case) -> Iterator[Reading]:
    """One reading a held value that the sheet says too: how far the two are apart."""
    for path, word in case.design.standing.items():
        place = resolved(path) if word == "held" else None
        table, key = SAID.get((place[0], place[2]), ("", "")) if place is not None else ("", "")
        if not table or key not in getattr(case.sheet, table).model_fields_set:
            continue
        said, held = getattr(getattr(case.sheet, table), key), value_at(case.design, path)
        yield Reading(
            subject=path,
            measured=0.0 if agrees(held, said) else _apart(held, said),
            unit=unit_of_field(key) or "off",
            at_most=0.0,
            broken="look",
            message=f"Held in design.toml, but the sheet says {table}.{key_of_field(key)} = {_words(said)}: change one of the "
            "two.",
        )


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
