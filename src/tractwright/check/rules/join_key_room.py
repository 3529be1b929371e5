"""A key must get at every screw: straight in, or at least with its short arm."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import plenum_points
from tractwright.check.screw_distances import along_and_off, envelope
from tractwright.geometry.frames import vec3

_AROUND_KEY_MM = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw of the head and runner joints: free length over its head, and what stands in the way."""
    around = {f"runner.{name}": model.outer_mm.reshape(-1, 3) for name, model in case.tubes.items()}
    around |= {f"plenum.{plenum.name}": plenum_points(case, plenum) for plenum in case.design.plena}
    kinds = {joint.name: joint.kind for joint in case.design.joints}
    for screw in case.design.screws:
        if kinds[screw.joint] not in ("head", "runner"):
            continue
        space = envelope(screw)
        free, subject, place = space.straight_mm, f"screw.{screw.name}", np.array(screw.seat_mm)
        for name, points in around.items():
            along, off = along_and_off(points, np.array(screw.seat_mm), -np.array(screw.direction))
            hit = (along > space.head_height_mm) & (off < space.key_radius_mm + _AROUND_KEY_MM)
            if hit.any() and along[hit].min() - space.head_height_mm < free:
                first = int(np.argmin(np.where(hit, along, np.inf)))
                free, place = float(along[first] - space.head_height_mm), points[first]
                subject = "+".join(sorted((name, f"screw.{screw.name}")))
        yield Reading(
            subject=subject,
            measured=free,
            unit="mm",
            at_least=space.bent_mm,
            at_mm=vec3(place),
            message="No key gets at this screw: move it, raise it, or put it in before the piece that covers it.",
        )


RULE = Rule(
    id="join.key_room",
    question="Does a key get at every screw and turn it?",
    limit="the short arm of the key, less the socket's depth, free over the head, 0.5 mm round it",
    cure="move the screw, or a standoff",
    bites_at="join",
    needs="description",
    source="jis_b_4648",
    judge=judge,
)
