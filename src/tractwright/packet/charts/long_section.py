"""The long section: a runner unrolled along its stations, everything later steps ask of it on one strip."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection

from tractwright.design.records import Runner
from tractwright.design.tube import Tube
from tractwright.geometry.frames import Array
from tractwright.make.records import PassageReach
from tractwright.packet.charts.sheet_of_paper import COPPER, INK, SAND, STONE, TEAL, as_svg, blank, the_look


def long_section(
    runner: Runner, model: Tube, room_mm: Array, reach: PassageReach | None, speed_at_mouth: float
) -> bytes:
    """One strip: bore and walls to scale along the station, gas speed, room left outside the skin, reach from both ends.

    room_mm : free space outside the skin at each station [mm]; speed_at_mouth [m/s], 0 where nothing is known.
    """
    with the_look():
        figure = blank(7.2, 2.35)
        strip, below = figure.subplots(2, 1, sharex=True, height_ratios=(1.5, 1.0))
        _bore_and_walls(strip, runner, model, speed_at_mouth)
        _room_and_reach(below, model, room_mm, reach)
        return as_svg(figure)


def _bore_and_walls(axes: Axes, runner: Runner, model: Tube, speed_at_mouth: float) -> None:
    s, radius = model.s_mm, np.sqrt(model.area_mm2 / np.pi)
    axes.fill_between(s, radius, radius + model.wall_mm, color=STONE, linewidth=0)
    axes.fill_between(s, -radius - model.wall_mm, -radius, color=STONE, linewidth=0)
    axes.fill_between(s, -radius, radius, color=SAND, linewidth=0)
    speed = speed_at_mouth * model.area_mm2[-1] / model.area_mm2
    bend = np.abs(model.curvature_per_mm) * 1000.0
    points = np.stack([s, bend], axis=1)
    segments = np.stack([points[:-1], points[1:]], axis=1)
    twin = axes.twinx()
    twin.add_collection(LineCollection(list(segments), colors=INK, linewidths=0.8))
    twin.set_ylim(0.0, max(30.0, float(bend.max()) * 1.1))
    twin.set_ylabel("bend [1/m]")
    label = f"{runner.name}   {runner.length_mm:.1f} mm   area {model.area_mm2[0]:.0f} to {model.area_mm2[-1]:.0f} mm²"
    if speed_at_mouth > 0:
        label += f"   peak speed {speed.max():.0f} m/s"
    axes.set_title(label, loc="left", fontsize=8)
    axes.set_ylabel("bore, wall [mm]")
    axes.set_xlim(0.0, float(s[-1]))


def _room_and_reach(axes: Axes, model: Tube, room_mm: Array, reach: PassageReach | None) -> None:
    axes.plot(model.s_mm, np.minimum(room_mm, 60.0), color=TEAL, label="room [mm, to 60]")
    if reach is not None and reach.stations_mm:
        stations = np.array(reach.stations_mm)
        for values, style, name in (
            (reach.stickout_from_port_mm, "-", "stick-out from the port"),
            (reach.stickout_from_mouth_mm, "--", "from the mouth"),
        ):
            needed = np.array(values)
            axes.plot(
                stations, np.where(np.isfinite(needed), needed, np.nan), color=COPPER, linestyle=style, label=name
            )
        if reach.meeting_line_mm is not None:
            axes.axvline(reach.meeting_line_mm, color=INK, linewidth=0.9)
            axes.annotate("meeting line", (reach.meeting_line_mm, 2.0), fontsize=7, rotation=90, ha="right")
    axes.set(xlabel="station from the head face [mm]", ylabel="mm")
    axes.set_ylim(bottom=0.0)
    axes.legend(frameon=False, fontsize=7, ncols=3, loc="upper center")
