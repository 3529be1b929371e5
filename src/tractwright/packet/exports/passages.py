"""hand_off/passages.step: what is taken out of the metal for each runner as a solid, running out past both ends."""

from collections.abc import Mapping
from math import acos, tan

import numpy as np

from tractwright.cache import kept
from tractwright.design.records import Design, Runner
from tractwright.design.tube import Tube, tube, tube_at
from tractwright.geometry.frames import Array
from tractwright.packet.contents import Contents

RUN_OUT_MM = 10.0
"""How far a passage goes on straight past its end, at least: enough to cut through a joint face."""

_STATIONS, _ANGLES = 49, 48
_STEEPEST_RAD = 1.0


def write(contents: Contents) -> Mapping[str, bytes]:
    """One solid a runner, from before the head face to past the plenum floor's inner face."""
    design = contents.case.design
    return kept("passages", (design,), lambda: _file(design)) if design.runners else {}


def _file(design: Design) -> dict[str, bytes]:
    from tractwright.kernel.skins import skin_solid  # loads the kernel: only where files are written anew
    from tractwright.kernel.step import step_bytes

    named = [(f"passage {runner.name}", skin_solid(passage_points(runner, design))) for runner in design.runners]
    return {"hand_off/passages.step": step_bytes(named, "passages")}


def passage_points(runner: Runner, design: Design) -> Array:
    """The passage's side as stations x angles of points (n, m, 3), its run-out included."""
    model = tube(runner, design, stations=_STATIONS)
    ends = np.array([_run_out(model, runner, design), RUN_OUT_MM])
    inside = model.s_mm[1:-1]
    stations = np.concatenate(
        [[-ends[0], -ends[0] / 2, 0.0], inside, model.s_mm[-1] + np.array([0, 0.5, 1.0]) * ends[1]]
    )
    return tube_at(runner, design, stations, _ANGLES).inner_mm


def _run_out(model: Tube, runner: Runner, design: Design) -> float:
    """Past the head face even where the port leans: half its size times the tangent of the lean more."""
    frame = next(bank.frame for bank in design.banks if bank.name == runner.bank)
    lean = min(acos(min(1.0, abs(float(model.tangent[0] @ np.array(frame.z))))), _STEEPEST_RAD)
    return RUN_OUT_MM + float(model.half_mm[0]) * tan(lean)
