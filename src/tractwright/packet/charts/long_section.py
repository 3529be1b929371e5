"""The long section: a runner unrolled along its stations, everything later steps ask of it on one strip."""

from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from tractwright.design.records import Runner
from tractwright.design.tube import Tube
from tractwright.geometry.frames import Array
from tractwright.packet.charts.sheet_of_paper import as_svg, bare, the_look
from tractwright.packet.colours import COPPER, INK, MIST, SAND, STONE, TEAL
from tractwright.reach.records import INSET_MM, PassageReach

ROOM_SHOWN_MM = 60.0
_WIDTH, _HEIGHT = 174.0, 69.0
_LEFT, _RIGHT, _LOW = 13.0, 30.0, 8.5
_BANDS = (("passage", 15.0), ("flow", 10.5), ("room", 10.5), ("reach", 10.5))
_GAP = 1.7


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Strip:
    """What a long section is drawn from. room_mm : free space outside the skin at each station, inf where not asked;
    speed_at_mouth [m/s], 0 where nothing is known; reach : by piece from the port, none before making is planned.
    """

    runner: Runner
    model: Tube
    room_mm: Array
    reach: tuple[PassageReach, ...]
    speed_at_mouth: float


def long_section(strip: Strip) -> bytes:
    """One strip as SVG: passage and walls; area and gas speed; room and wall; stick-out that cutters need from both ends."""
    with the_look():
        figure = bare(_WIDTH, _HEIGHT)
        bands = _bands(figure, float(strip.model.s_mm[-1]))
        _passage(bands["passage"], strip)
        _flow(bands["flow"], strip)
        _room(bands["room"], strip)
        _reach(bands["reach"], strip.reach)
        _across(bands, strip)
        return as_svg(figure)


def _bands(figure: Figure, length_mm: float) -> dict[str, Axes]:
    """Axes one under another over the same stations; only the lowest carries figures along."""
    found: dict[str, Axes] = {}
    top = _HEIGHT - 8.5
    for name, height in _BANDS:
        top -= height
        box = (_LEFT / _WIDTH, top / _HEIGHT, (_WIDTH - _LEFT - _RIGHT) / _WIDTH, height / _HEIGHT)
        axes = figure.add_axes(box)
        axes.set_xlim(0.0, length_mm)
        axes.tick_params(labelsize=6.5, length=2.0, pad=1.5, labelbottom=name == _BANDS[-1][0])
        found[name] = axes
        top -= _GAP
    found["reach"].set_xlabel("station from the head face [mm]", fontsize=7, labelpad=1.0)
    return found


def _passage(axes: Axes, strip: Strip) -> None:
    model = strip.model
    s, radius = model.s_mm, np.sqrt(model.area_mm2 / np.pi)
    for side in (1.0, -1.0):
        axes.fill_between(s, side * radius, side * (radius + model.wall_mm), color=STONE, linewidth=0)
    axes.fill_between(s, -radius, radius, color=SAND, linewidth=0)
    most = float((radius + model.wall_mm).max()) * 1.08
    axes.set_ylim(-most, most)
    _name(axes, "mm", INK)
    _beside(axes, ("passage, as a round", INK), ("metal of the wall", STONE))


def _flow(axes: Axes, strip: Strip) -> None:
    model = strip.model
    axes.plot(model.s_mm, model.area_mm2, color=TEAL)
    axes.set_ylim(0.0, float(model.area_mm2.max()) * 1.25)
    _name(axes, "mm²", TEAL)
    if strip.speed_at_mouth <= 0.0:
        _beside(axes, ("area", TEAL), ("gas speed: not known", STONE))
        return
    speed = strip.speed_at_mouth * model.area_mm2[-1] / model.area_mm2
    other = axes.twinx()
    other.plot(model.s_mm, speed, color=COPPER, linestyle="--", linewidth=1.1)
    other.set_ylim(0.0, float(speed.max()) * 1.6)
    other.tick_params(labelsize=6.5, length=2.0, pad=1.5, colors=COPPER)
    other.spines["right"].set_visible(True)
    _beside(axes, ("area", TEAL), ("- - gas speed [m/s]", COPPER), shift=7.0)


def _room(axes: Axes, strip: Strip) -> None:
    s, room = strip.model.s_mm, strip.room_mm
    asked = np.isfinite(room)
    axes.plot(s, strip.model.wall_mm, color=INK, linewidth=1.0)
    axes.set_ylim(0.0, ROOM_SHOWN_MM * 1.08)
    _name(axes, "mm", INK)
    if asked.any():
        shown = np.where(asked, np.clip(room, 0.0, ROOM_SHOWN_MM), np.nan)
        axes.plot(s, shown, color=TEAL)
        axes.fill_between(s, 0.0, shown, color=TEAL, alpha=0.12, linewidth=0)
        least = float(room[asked].min())
        _beside(
            axes, (f"room outside, least {least:.1f}", TEAL), (f"(shown to {ROOM_SHOWN_MM:.0f})", TEAL), ("wall", INK)
        )
    else:
        _beside(axes, ("room: no limit given", TEAL), ("wall", INK))


def _reach(axes: Axes, reach: tuple[PassageReach, ...]) -> None:
    _name(axes, "mm", COPPER)
    if not any(part.stations_mm for part in reach):
        axes.set_ylim(0.0, 1.0)
        axes.set_yticks([])
        _beside(axes, ("stick-out: not known", STONE))
        return
    most = 10.0
    for part in reach:
        for values, style in ((part.stickout_from_port_mm, "-"), (part.stickout_from_mouth_mm, "--")):
            needed = np.array(values)
            known = np.isfinite(needed)
            axes.plot(np.array(part.stations_mm), np.where(known, needed, np.nan), color=COPPER, linestyle=style)
            most = max(most, float(needed[known].max(initial=0.0)))
    axes.set_ylim(0.0, most * 1.1)
    _beside(
        axes,
        ("stick-out a cutter needs", INK),
        ("— from the port end", COPPER),
        ("- - from the mouth end", COPPER),
        *((("of each piece", COPPER),) if len(reach) > 1 else ()),
    )


def _across(bands: dict[str, Axes], strip: Strip) -> None:
    """What runs through all bands: end leads, joints between pieces, meeting lines, and the title above."""
    runner = strip.runner
    ends = (runner.port_lead_mm, runner.length_mm - runner.mouth_lead_mm)
    meeting = [part.meeting_line_mm for part in strip.reach if part.meeting_line_mm is not None]
    splits = [part.stations_mm[0] - INSET_MM for part in strip.reach[1:] if part.stations_mm]
    for axes in bands.values():
        for station in ends:
            axes.axvline(station, color=MIST, linewidth=0.7, zorder=0.5)
        for station in splits:
            axes.axvline(station, color=INK, linewidth=1.0)
        for station in meeting:
            axes.axvline(station, color=INK, linewidth=0.7, linestyle=(0, (6, 2)))
    top = bands["passage"]
    _above(top, runner.port_lead_mm / 2, "end lead")
    _above(top, runner.length_mm - runner.mouth_lead_mm / 2, "end lead")
    for station in splits:
        _above(top, station, f"split {station:.0f}")
    for station in meeting:
        _above(top, station, f"meeting line {station:.0f}")
    low, high = float(strip.model.area_mm2[0]), float(strip.model.area_mm2[-1])
    title = f"{runner.name}    {runner.length_mm:.1f} mm long    {low:.0f} mm² at the port, {high:.0f} at the mouth"
    figure = top.figure
    figure.text(_LEFT / _WIDTH, 1.0 - 3.2 / _HEIGHT, title, fontsize=8, fontweight="bold", color=INK)


def _above(axes: Axes, station: float, words: str) -> None:
    axes.annotate(
        words, (station, 1.0), xycoords=("data", "axes fraction"), xytext=(0, 1.5), textcoords="offset points",
        ha="center", va="bottom", fontsize=6, color=INK,
    )  # fmt: skip


def _name(axes: Axes, words: str, colour: str) -> None:
    axes.set_ylabel(words, fontsize=7, color=colour, labelpad=2.0)
    axes.yaxis.set_label_coords(-0.062, 0.5)


def _beside(axes: Axes, *lines: tuple[str, str], shift: float = 2.0) -> None:
    """What the band's lines are, in their colours, in the margin at the right: never over the lines."""
    for row, (words, colour) in enumerate(lines):
        axes.annotate(
            words, (1.0, 1.0), xycoords="axes fraction", xytext=(shift * 2.83, -2.0 - 8.5 * row),
            textcoords="offset points", ha="left", va="top", fontsize=6.5, color=colour,
        )  # fmt: skip
