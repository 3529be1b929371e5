"""Throttle bodies of a row are opened by one spindle or one linkage: they stand in a line, a bank's at the bank's own pitch."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.body_row import BodyRow

_OFF_MM = 0.1


def judge(case: Case) -> Iterator[Reading]:
    """One reading a row: how far the body that is most out of place stands from its place in the line."""
    for row in case.design.body_rows:
        off, name = _worst(case, row)
        if name:
            yield Reading(
                subject=f"throttle.{name}",
                measured=off,
                unit="mm",
                at_most=_OFF_MM,
                message="This body does not stand where its neighbours' spindles and pitch put it: their spindles bind and a "
                "bank does not go on. Put its mouth back in line.",
            )


def _worst(case: Case, row: BodyRow) -> tuple[float, str]:
    """The furthest off [mm] and its name: out of the line of the row's x, out of the face, or along it off its pitch.

    The pitch is the sheet's; of bodies bought singly the mean one.
    """
    found = [item for item in case.design.throttles if item.plenum == row.name]
    if not found:
        return 0.0, ""
    local = row.frame.to_local(np.array([item.frame.origin_mm for item in found]))
    order = np.argsort(local[:, 0])
    local = local[order] - [local[:, 0].mean(), 0.0, 0.0]
    count = len(found)
    mean = float(np.ptp(local[:, 0])) / max(count - 1, 1)
    pitch = case.sheet.throttle.pitch_mm or mean
    local[:, 0] -= (np.arange(count) - (count - 1) / 2) * pitch
    off = np.linalg.norm(local, axis=1)
    worst = int(np.argmax(off))
    return float(off[worst]), found[int(order[worst])].name


RULE = Rule(
    id="fit.bodies_in_line",
    question="Do throttle bodies on the mouths stand in one line, a bank's at its own pitch?",
    limit="0.1 mm from its place in the row; common practice, no source",
    cure="mouths at the pitch of the bank, throttle.pitch of the sheet",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
