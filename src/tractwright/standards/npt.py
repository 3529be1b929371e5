"""Taper pipe threads (NPT): gauge lengths and diameters by the standard's own formulas. mm.

Source: ASME B1.20.1, formulas reproduced against its printed table; tap drills from a tap maker's guide.
"""

import re
from dataclasses import dataclass
from functools import cache

from tractwright.standards.tables import Origin, row, rows
from tractwright.standards.threads import INCH_MM

TAPER = 1.0 / 16.0
"""Taper on the diameter. Source key: asme_b1_20_1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TaperPipeThread:
    """A taper pipe thread, lengths in mm.

    pitch_end_mm : pitch diameter at the pipe's end (E0); pitch_gauge_mm : at the gauge plane (E1);
    hand_tight_mm : engagement by hand (L1); effective_mm : effective outside thread (L2); make_up_mm : turned in by wrench
    beyond hand tight (L3); full_internal_mm : full thread the hole needs (L1 + L3);
    drill_reamed_mm : drill before a taper reamer; drill_straight_mm : drill where there is none;
    straight_bore_most_mm : widest straight bore that still gives full threads, a tap maker's figure.
    """

    designation: str
    pitch_mm: float
    pipe_outside_mm: float
    pitch_end_mm: float
    pitch_gauge_mm: float
    hand_tight_mm: float
    effective_mm: float
    make_up_mm: float
    full_internal_mm: float
    drill_reamed: str
    drill_reamed_mm: float
    drill_straight: str
    drill_straight_mm: float
    straight_bore_most_mm: float
    origin: Origin

    @property
    def boss_outside_mm(self) -> float:
        """Least boss round it [mm]: 3 mm of wall, or 1.6 x the pipe (judgement, no standard found)."""
        return max(self.pipe_outside_mm + 6.0, 1.6 * self.pipe_outside_mm)

    @property
    def boss_height_mm(self) -> float:
        """Least metal along it [mm]: the full thread and 1 mm (judgement)."""
        return self.full_internal_mm + 1.0


@cache
def taper_pipe_threads() -> tuple[TaperPipeThread, ...]:
    """Every size of the table, rising."""
    return tuple(taper_pipe_thread(item.text("designation")) for item in rows("taper_pipe_threads"))


@cache
def taper_pipe_thread(designation: str) -> TaperPipeThread:
    """The thread '1/8', '1/8 NPT' or '1/8-27 NPT'. Raises TableError."""
    key = re.sub(r"(\s*-\s*\d+)?\s*(NPT)?\s*$", "", designation.strip(), flags=re.IGNORECASE)
    found = row("taper_pipe_threads", designation=key)
    per_inch, outside = found.number("threads_per_inch"), found.number("pipe_outside_in")
    hand_tight = found.number("hand_tight_in")
    end = outside - (0.05 * outside + 1.1) / per_inch
    make_up = 3.0 / per_inch
    return TaperPipeThread(
        designation=key,
        pitch_mm=INCH_MM / per_inch,
        pipe_outside_mm=outside * INCH_MM,
        pitch_end_mm=end * INCH_MM,
        pitch_gauge_mm=(end + hand_tight * TAPER) * INCH_MM,
        hand_tight_mm=hand_tight * INCH_MM,
        effective_mm=(0.8 * outside + 6.8) / per_inch * INCH_MM,
        make_up_mm=make_up * INCH_MM,
        full_internal_mm=(hand_tight + make_up) * INCH_MM,
        drill_reamed=found.text("drill_reamed"),
        drill_reamed_mm=found.number("drill_reamed_in") * INCH_MM,
        drill_straight=found.text("drill_straight"),
        drill_straight_mm=found.number("drill_straight_in") * INCH_MM,
        straight_bore_most_mm=found.number("straight_bore_most_mm"),
        origin=found.origin,
    )
