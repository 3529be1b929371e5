"""How it breathes, small: torque and filling over revs; filling over length and revs with what the room allows shaded."""

from collections.abc import Sequence

import numpy as np

from tractwright.air.records import Breathing
from tractwright.packet.colours import COPPER, INK, MIST, STONE, TEAL
from tractwright.page.looks import Curve

_W, _H = 400.0, 150.0
_LEFT, _RIGHT, _TOP, _FOOT = 40.0, 40.0, 12.0, 24.0


def torque_chart(curve: Curve) -> str:
    """Torque (copper) and trapped filling (teal) over revs, as SVG."""
    rpm = np.array(curve.rpm)
    torque, filling = np.array(curve.torque_nm), np.array(curve.trapped_ve)
    x = _LEFT + (_W - _LEFT - _RIGHT) * (rpm - rpm[0]) / (rpm[-1] - rpm[0])
    parts = [_frame(), _ticks(rpm[0], rpm[-1], "rev/min")]
    parts += [_line(x, torque, torque.max() * 1.1, COPPER, ""), _line(x, filling, filling.max() * 1.15, TEAL, "5 3")]
    at = float(np.interp(curve.wanted_rpm, rpm, x))
    parts.append(
        f'<line x1="{at:.1f}" x2="{at:.1f}" y1="{_TOP}" y2="{_H - _FOOT}" stroke="{STONE}" stroke-dasharray="2 3"/>'
    )
    top = int(np.argmax(torque))
    parts.append(_words(x[top], _TOP + 9, f"{torque[top]:.0f} Nm at {rpm[top]:.0f}", COPPER, "middle"))
    parts.append(_words(_W - 4, _TOP + 9, f"filling to {100 * filling.max():.0f} %", TEAL, "end"))
    return _svg("torque and filling over revs", parts)


def length_chart(breathing: Breathing, here_mm: float, most_mm: float) -> str:
    """Filling over length (up) and revs (across). here_mm : the runners' length, drawn across; most_mm : the greatest
    length that the room is known to allow; above it the chart is veiled.
    """
    lengths, rpm = np.array(breathing.length_chart_mm), np.array(breathing.length_chart_rpm)
    filling = np.array(breathing.length_chart_ve)
    ease = (filling - filling.min()) / max(float(np.ptp(filling)), 1e-9)
    wide, high = (_W - _LEFT - _RIGHT) / len(rpm), (_H - _TOP - _FOOT) / len(lengths)
    parts: list[str] = []
    for i in range(len(lengths)):
        y = _H - _FOOT - (i + 1) * high
        for j in range(len(rpm)):
            parts.append(
                f'<rect x="{_LEFT + j * wide:.1f}" y="{y:.1f}" width="{wide + 0.5:.1f}" height="{high + 0.5:.1f}" '
                f'fill="color-mix(in srgb, {TEAL} {100 * ease[i, j]:.0f}%, #f4efe3)"/>'
            )
    parts += [_frame(), _ticks(rpm[0], rpm[-1], "rev/min")]
    span = lengths[-1] - lengths[0]

    def up(length_mm: float) -> float:
        return _H - _FOOT - (_H - _TOP - _FOOT) * float(np.clip((length_mm - lengths[0]) / span, 0.0, 1.0))

    if most_mm < lengths[-1]:
        tall = up(most_mm) - up(lengths[-1])
        parts.append(
            f'<rect x="{_LEFT}" y="{up(lengths[-1]):.1f}" width="{_W - _LEFT - _RIGHT}" height="{tall:.1f}" '
            'fill="#fff" opacity="0.65"/>'
        )
    parts.append(
        f'<line x1="{_LEFT}" x2="{_W - _RIGHT}" y1="{up(here_mm):.1f}" y2="{up(here_mm):.1f}" stroke="{INK}"/>'
    )
    parts.append(_words(_W - _RIGHT + 3, up(here_mm) + 4, f"{here_mm:.0f} mm", INK, "start"))
    parts.append(_words(_LEFT - 4, up(lengths[0]), f"{lengths[0]:.0f}", INK, "end"))
    parts.append(_words(_LEFT - 4, up(lengths[-1]) + 9, f"{lengths[-1]:.0f}", INK, "end"))
    return _svg("filling over length and revs", parts)


def _svg(title: str, parts: Sequence[str]) -> str:
    return f'<svg viewBox="0 0 {_W} {_H}" width="100%" role="img" aria-label="{title}">{"".join(parts)}</svg>'


def _frame() -> str:
    return f'<path d="M{_LEFT} {_TOP}V{_H - _FOOT}H{_W - _RIGHT}" fill="none" stroke="{MIST}"/>'


def _ticks(low: float, high: float, unit: str) -> str:
    step = 1000.0 if high - low < 8000.0 else 2000.0
    parts: list[str] = []
    for value in np.arange(np.ceil(low / step) * step, high + 1.0, step):
        x = _LEFT + (_W - _LEFT - _RIGHT) * (value - low) / (high - low)
        parts.append(_words(x, _H - 9, f"{value:.0f}", "#56616a", "middle"))
    return "".join(parts) + _words(_W - 2, _H - 9, unit, "#56616a", "end")


def _line(x: np.ndarray, values: np.ndarray, most: float, colour: str, dashes: str) -> str:
    y = _H - _FOOT - (_H - _TOP - _FOOT) * values / most
    points = " ".join(f"{a:.1f},{b:.1f}" for a, b in zip(x, y, strict=True))
    return f'<polyline points="{points}" fill="none" stroke="{colour}" stroke-width="1.8" stroke-dasharray="{dashes}"/>'


def _words(x: float, y: float, words: str, colour: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" fill="{colour}" font-size="10.5" text-anchor="{anchor}">{words}</text>'
