"""The flat on a flange that a runner's root runs out on."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.edges import to_edge_mm
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.design.passing import runners_through
from tractwright.design.records import Flange, Runner
from tractwright.design.tube import Tube
from tractwright.geometry.frames import Array

_LEAST_MM = 2.0
_ENDS = {"head": "port_blend_mm", "runner": "mouth_blend_mm"}


def judge(case: Case) -> Iterator[Reading]:
    """One reading a runner and flange that it grows out of: from the foot of its root to the flange's edge."""
    joints = {joint.name: joint for joint in case.design.joints}
    heads = {piece.name for piece in case.design.pieces if piece.kind in ("head", "middle")}
    for flange in case.design.flanges:
        kind, runners = joints[flange.joint].kind, runners_through(joints[flange.joint], case.design)
        if kind not in _ENDS or flange.piece not in heads or not runners:
            continue
        skins = [_skin_on_face(flange, kind, case.tubes[runner.name]) for runner in runners]
        off = to_edge_mm(flange.contour, np.concatenate(skins)).reshape(len(skins), -1).min(axis=1)
        for runner, room in zip(runners, off.tolist(), strict=True):
            yield _reading(runner, flange, room, _ENDS[kind])


def _reading(runner: Runner, flange: Flange, room_mm: float, field: str) -> Reading:
    blend = runner.port_blend_mm if field == "port_blend_mm" else runner.mouth_blend_mm
    left = room_mm - blend
    fitting = int(2.0 * (blend + left)) / 2.0
    return Reading(
        subject="+".join(sorted((f"flange.{flange.name}", f"runner.{runner.name}"))),
        measured=left,
        unit="mm",
        at_least=0.0,
        message="The root is larger than the flange leaves room for and runs off its edge: "
        + (f"a root of {fitting:g} mm at most, or more flange." if fitting >= _LEAST_MM else "more flange round it."),
        fix=Fix(path=f"runner.{runner.name}.{field}", value=fitting, what=f"root of {fitting:g} mm")
        if fitting >= _LEAST_MM
        else None,
    )


def _skin_on_face(flange: Flange, kind: str, model: Tube) -> Array:
    """Where a runner's skin goes through the flange's outer face (m, 2), flange frame: seen from the end that stands in it,
    for a runner may come round past its other flange's height.
    """
    local = flange.frame.to_local(model.outer_mm)
    order = local if kind == "head" else local[::-1]
    over = order[..., 2] >= flange.thickness_mm
    after = np.clip(np.argmax(over, axis=0), 1, len(order) - 1)
    column = np.arange(order.shape[1])
    low, high = order[after - 1, column], order[after, column]
    share = (flange.thickness_mm - low[:, 2]) / np.where(
        np.abs(high[:, 2] - low[:, 2]) > 1e-9, high[:, 2] - low[:, 2], 1.0
    )
    return (low + np.clip(share, 0.0, 1.0)[:, None] * (high - low))[:, :2]


RULE = Rule(
    id="wall.root_land",
    question="Has every root flat flange all round to run out on?",
    limit="none of it past the flange's edge; plain sums",
    cure="a smaller root, or more flange",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
