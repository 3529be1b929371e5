"""Every chart of a packet by its file name."""

from collections.abc import Mapping

import numpy as np

from tractwright.geometry.frames import Array
from tractwright.packet.charts.air import air_charts
from tractwright.packet.charts.long_section import Strip, long_section
from tractwright.packet.contents import Contents


def all_charts(contents: Contents, room_mm: Mapping[str, Array]) -> dict[str, bytes]:
    """The air's charts and each runner's long section, as SVG. room_mm : by runner, free space at each station."""
    case = contents.case
    charts: dict[str, bytes] = {}
    if case.breathing is not None:
        mean = float(np.mean([runner.length_mm for runner in case.design.runners]))
        charts |= air_charts(case.breathing, mean)
    for runner in case.design.runners:
        strip = Strip(
            runner=runner,
            model=case.tubes[runner.name],
            room_mm=room_mm[runner.name],
            reach=tuple(p for p in case.plan.passages if p.runner == runner.name) if case.plan else (),
            speed_at_mouth=case.breathing.peak_speed_at_mouth if case.breathing else 0.0,
        )
        charts[f"long_section_{runner.name}.svg"] = long_section(strip)
    return charts
