"""packet.pdf: the whole job on paper."""

import json
import tempfile
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

import numpy as np
import typst

from tractwright.cache import kept
from tractwright.check.measures import room_along
from tractwright.packet.charts.air import filling_and_torque, length_and_revs
from tractwright.packet.charts.long_section import long_section
from tractwright.packet.contents import Contents
from tractwright.packet.paper import paper_data
from tractwright.packet.views import apart_picture, bodies_of, piece_pictures, whole_pictures


def write(contents: Contents) -> Mapping[str, bytes]:
    """The PDF, and its pictures as PNG."""
    pictures = kept("pictures", (contents.case.design, contents.case.room.old_part), lambda: _pictures(contents))
    parts = {f"{name}.png": picture for name, picture in pictures.items()} | _charts(contents)
    data = paper_data(contents, pictures=tuple(pictures))
    parts["data.json"] = json.dumps(data).encode()
    parts["packet.typ"] = files("tractwright.packet.exports").joinpath("pdf.typ").read_bytes()
    with tempfile.TemporaryDirectory() as folder:
        for name, part in parts.items():
            (Path(folder) / name).write_bytes(part)
        paper = typst.compile(str(Path(folder) / "packet.typ"), root=folder, ignore_system_fonts=True)
    pages = {f"pictures/{name}": part for name, part in parts.items() if name.endswith((".png", ".svg"))}
    return {"packet.pdf": paper, **pages}


def _pictures(contents: Contents) -> dict[str, bytes]:
    bodies = bodies_of(contents)
    if not bodies:
        return {}
    return {**whole_pictures(bodies), "apart": apart_picture(contents, bodies), **piece_pictures(bodies)}


def _charts(contents: Contents) -> dict[str, bytes]:
    case = contents.case
    charts: dict[str, bytes] = {}
    speed = 0.0
    if case.breathing is not None:
        charts["filling.svg"] = filling_and_torque(case.breathing)
        mean = float(np.mean([runner.length_mm for runner in case.design.runners]))
        charts["length_chart.svg"] = length_and_revs(case.breathing, mean)
        speed = case.breathing.peak_speed_at_mouth
    for runner in case.design.runners:
        reach = next((p for p in case.plan.passages if p.runner == runner.name), None) if case.plan else None
        room = room_along(case, runner)
        charts[f"long_section_{runner.name}.svg"] = long_section(runner, case.tubes[runner.name], room, reach, speed)
    return charts
