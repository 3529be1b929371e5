"""Filling, torque and power against revs; length against revs."""

import numpy as np
from matplotlib.colors import LinearSegmentedColormap

from tractwright.air.records import Breathing
from tractwright.packet.charts.sheet_of_paper import as_svg, blank, quiet_grid, the_look
from tractwright.packet.colours import COPPER, INK, SAND, STONE, TEAL


def air_charts(breathing: Breathing, length_mm: float) -> dict[str, bytes]:
    """Both charts by file name."""
    return {"filling.svg": filling_and_torque(breathing), "length_chart.svg": length_and_revs(breathing, length_mm)}


def filling_and_torque(breathing: Breathing) -> bytes:
    """Two panels: delivered and trapped filling; torque with power."""
    with the_look():
        figure = blank(7.2, 2.7)
        left, right = figure.subplots(1, 2)
        rpm = np.array(breathing.rpm)
        left.plot(rpm, np.array(breathing.delivered_ve) * 100, color=TEAL, label="delivered")
        left.plot(rpm, np.array(breathing.trapped_ve) * 100, color=STONE, linestyle="--", label="trapped")
        left.axvline(breathing.wanted_peak_rpm, color=COPPER, linewidth=0.8)
        left.set(xlabel="rev/min", ylabel="filling of the swept volume [%]")
        left.legend(frameon=False)
        right.plot(rpm, breathing.torque_nm, color=COPPER, label="torque [Nm]")
        right.plot(rpm, breathing.power_kw, color=INK, label="power [kW]")
        right.axvline(breathing.wanted_peak_rpm, color=COPPER, linewidth=0.8)
        right.set(xlabel="rev/min", ylabel="Nm, kW")
        right.legend(frameon=False)
        for axes in (left, right):
            axes.set_ylim(bottom=0.0)
            quiet_grid(axes)
        return as_svg(figure)


def length_and_revs(breathing: Breathing, length_mm: float) -> bytes:
    """Filling as contours over runner length and revs, this manifold's length drawn in."""
    with the_look():
        figure = blank(7.2, 2.6)
        axes = figure.subplots()
        filling = np.array(breathing.length_chart_ve) * 100
        bands = axes.contourf(
            breathing.length_chart_rpm, breathing.length_chart_mm, filling, levels=12, cmap=_sand_to_teal()
        )
        axes.axhline(length_mm, color=COPPER)
        axes.axvline(breathing.wanted_peak_rpm, color=COPPER, linewidth=0.8, linestyle=":")
        axes.set(xlabel="rev/min", ylabel="runner length [mm]")
        figure.colorbar(bands, ax=axes, label="filling [%]")
        return as_svg(figure)


def _sand_to_teal() -> LinearSegmentedColormap:
    return LinearSegmentedColormap.from_list("sand_to_teal", [SAND, TEAL, INK])
