"""What a bore is most likely for, by its diameter: a guess, told as one."""

from tractwright.own.records import HoleStep, HoleUse
from tractwright.standards.holes import clearance_holes
from tractwright.standards.npt import TAPER, taper_pipe_threads
from tractwright.standards.threads import Thread, thread, threads

_NEAR_MM = 0.06
"""Drawn diameters are round figures: nearer than this they are meant."""
_DOWELS_MM = (3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0)
"""Nominal diameters of dowel pins. Source: iso_8734 (memory)."""
_DOWEL_DEPTHS = 3.0
_TAPER_OFF = 0.1
_PIPE_DEPTH = 0.95
"""A mouth as wide as the pipe's outside lies 0.87 of the pitch off the pitch diameter. Source: asme_b1_20_1."""
_USUAL = ("M3", "M4", "M5", "M6", "M8", "M10", "M12", "M16")
"""First choice of sizes. Source: iso_261 (memory)."""


def likely_use(
    bore_mm: float, depth_mm: float, through: bool, stepped: bool, tapered: bool
) -> tuple[HoleUse, tuple[str, ...]]:
    """What a hole is for and the threads it suits, likeliest first.

    A hole right through, or with a counterbore, is for a screw to pass if a screw fits it; a blind one is tapped if its
    bore is a tap drill's, and for a dowel if its bore is a dowel's own.
    """
    passed, tapped = passing(bore_mm), _tapped(bore_mm)
    pin = any(abs(bore_mm - nominal) < _NEAR_MM for nominal in _DOWELS_MM)
    if (through or stepped) and passed and not (tapered and tapped):
        return "clearance", passed
    if pin and not through and depth_mm < _DOWEL_DEPTHS * bore_mm and not _usual(tapped):
        return "dowel", _at_major(bore_mm)
    if tapped:
        return "tapped", tapped
    at_major = _at_major(bore_mm)
    return ("tapped", at_major) if at_major else ("plain", ())


def pipe_threads(steps: tuple[HoleStep, ...]) -> tuple[str, ...]:
    """The taper pipe thread that a hole drawn with that thread's own taper is for: its mouth lies between the thread's
    crests and roots at the gauge plane.
    """
    longest = max(steps, key=lambda step: step.to_mm - step.from_mm)
    taper = (longest.first_mm - longest.last_mm) / (longest.to_mm - longest.from_mm)
    if abs(taper / TAPER - 1.0) > _TAPER_OFF:
        return ()
    wide = longest.first_mm
    return tuple(
        f"{item.designation} NPT"
        for item in taper_pipe_threads()
        if abs(wide - item.pitch_gauge_mm) < _PIPE_DEPTH * item.pitch_mm
    )


def _usual(tapped: tuple[str, ...]) -> bool:
    """Whether the likeliest thread is of a size screws are bought in."""
    return bool(tapped) and thread(tapped[0]).size in _USUAL


def _tapped(bore_mm: float) -> tuple[str, ...]:
    def off(item: Thread) -> float:
        return abs(item.tap_drill_mm - bore_mm)

    fits = [
        item
        for item in threads()
        if off(item) < _NEAR_MM or item.hole_minor_min_mm <= bore_mm <= item.hole_minor_max_mm
    ]
    order = sorted(fits, key=lambda item: (item.system != "metric", not item.coarse, off(item)))
    return tuple(item.designation for item in order)


def passing(bore_mm: float) -> tuple[str, ...]:
    """Screws that a bore passes: medium holes before fine before coarse ones, metric before inch."""
    near = sorted(
        (not held.size.startswith("M"), rank, held.size)
        for held in clearance_holes()
        for rank, hole in enumerate((held.medium_mm, held.fine_mm, held.coarse_mm))
        if abs(hole - bore_mm) < _NEAR_MM
    )
    return tuple(dict.fromkeys(size for *_, size in near))


def _at_major(bore_mm: float) -> tuple[str, ...]:
    return tuple(item.designation for item in threads() if item.coarse and abs(item.major_mm - bore_mm) < _NEAR_MM)
