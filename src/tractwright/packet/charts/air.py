"""Filling, torque and power against revs; length against revs; one cycle's pressures; Mach number; a flow bench."""

from collections.abc import Iterator

import numpy as np
from matplotlib.colors import LinearSegmentedColormap
from matplotlib.figure import Figure

from tractwright.air.records import Breathing
from tractwright.packet.charts.sheet_of_paper import as_png, as_svg, blank, quiet_grid, the_look
from tractwright.packet.colours import COPPER, INK, SAND, STONE, TEAL


def air_charts(breathing: Breathing, length_mm: float) -> dict[str, bytes]:
    """Every chart by file name, as SVG."""
    with the_look():
        return {f"{name}.svg": as_svg(figure) for name, figure in _figures(breathing, length_mm)}


def air_pictures(breathing: Breathing, length_mm: float) -> dict[str, bytes]:
    """Every chart by file name, as PNG."""
    with the_look():
        return {f"{name}.png": as_png(figure) for name, figure in _figures(breathing, length_mm)}


def _figures(breathing: Breathing, length_mm: float) -> Iterator[tuple[str, Figure]]:
    yield "filling", filling_figure(breathing)
    yield "length_chart", length_figure(breathing, length_mm)
    yield "traces", traces_figure(breathing)
    yield "mach", mach_figure(breathing)
    yield "flow_bench", bench_figure(breathing)


def filling_figure(breathing: Breathing) -> Figure:
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
        return figure


def length_figure(breathing: Breathing, length_mm: float) -> Figure:
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
        return figure


def traces_figure(breathing: Breathing) -> Figure:
    """Pressures at the cylinder that fires first over a cycle, the intake stroke's own scale; speed at its mouth."""
    traces = breathing.traces
    with the_look():
        figure = blank(7.2, 2.7)
        left, right = figure.subplots(1, 2)
        crank = np.array(traces.crank_deg)
        left.plot(crank, traces.port_bar, color=TEAL, label="before the valve")
        left.plot(crank, traces.plenum_bar, color=STONE, linestyle="--", label="plenum")
        inside = np.array(traces.cylinder_bar)
        quiet = inside <= 1.6 * max(traces.port_bar)
        left.plot(crank, np.where(quiet, inside, np.nan), color=COPPER, label="cylinder")
        left.set(
            xlabel=f"crank after gas-exchange top dead centre [deg], {traces.rpm:.0f} rev/min", ylabel="bar, absolute"
        )
        left.legend(frameon=False, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=3)
        right.plot(crank, traces.mouth_speed, color=INK)
        right.set(xlabel="crank [deg]", ylabel="speed at the mouth [m/s]")
        for axes in (left, right):
            quiet_grid(axes)
        return figure


def mach_figure(breathing: Breathing) -> Figure:
    """Highest Mach number of a cycle along each runner and its port at the highest revs."""
    with the_look():
        figure = blank(7.2, 2.4)
        axes = figure.subplots()
        for i, along in enumerate(breathing.mach_along):
            colour, line = (TEAL, COPPER, INK, STONE)[i % 4], ("-", "--")[i // 4 % 2]
            axes.plot(along.place_mm, along.mach, color=colour, linestyle=line, linewidth=1.0, label=along.runner)
        axes.set(xlabel="from the mouth to the valves [mm]", ylabel="Mach number")
        axes.set_ylim(bottom=0.0)
        axes.legend(frameon=False, ncols=4)
        quiet_grid(axes)
        return figure


def bench_figure(breathing: Breathing) -> Figure:
    """Flow over lift, through runner and port and through the port alone."""
    bench = breathing.bench
    with the_look():
        figure = blank(3.6, 2.7)
        axes = figure.subplots()
        lifts = [row.lift_mm for row in bench.rows]
        axes.plot(lifts, [row.port_alone_l_s for row in bench.rows], color=STONE, linestyle="--", label="port alone")
        axes.plot(lifts, [row.flow_l_s for row in bench.rows], color=TEAL, label="with the runner")
        axes.set(xlabel="lift [mm]", ylabel=f"litre/s at {bench.depression_pa:.0f} Pa")
        axes.set_ylim(bottom=0.0)
        axes.legend(frameon=False)
        quiet_grid(axes)
        return figure


def _sand_to_teal() -> LinearSegmentedColormap:
    return LinearSegmentedColormap.from_list("sand_to_teal", [SAND, TEAL, INK])
