"""Gaskets and callipers: a picture has one scale, a reading names what it was taken of."""

from collections.abc import Iterator

from tractwright.job.cross_check import CrossCheck, CrossFault
from tractwright.job.sheet import JobSheet

_PICTURES = (".png", ".jpg", ".jpeg")
_FEWEST_POINTS = 3
_OF_ONE = ("diameter", "width", "height")


def gasket_files(sheet: JobSheet) -> Iterator[CrossFault]:
    """A drawing or a picture, by the file's ending."""
    for i, gasket in enumerate(sheet.gasket):
        if not gasket.file.lower().endswith((".dxf", *_PICTURES)):
            yield ("gasket", i, "file"), f'"{gasket.file}"', "a file that ends in .dxf, .png, .jpg or .jpeg"


def one_scale(sheet: JobSheet) -> Iterator[CrossFault]:
    """A picture's scale is said in one way at most, and a known distance has both its ends."""
    for i, gasket in enumerate(sheet.gasket):
        known = (gasket.known_mm, gasket.known_from, gasket.known_to)
        if any(item is not None for item in known) and any(item is None for item in known):
            yield ("gasket", i, "known"), "a part of a known distance", "known with known_from and known_to"
        if known[1] is not None and known[1] == known[2]:
            yield ("gasket", i, "known_to"), "where known_from is", "the other end of the known distance"
        said = [item for item in (gasket.scale_bar_mm, gasket.known_mm, gasket.dots_per_inch) if item is not None]
        if len(said) > 1:
            yield ("gasket", i, "scale_bar"), "more than one scale", "one of scale_bar, known and dots_per_inch"


def readings(sheet: JobSheet) -> Iterator[CrossFault]:
    """A size is read of one thing, a distance between two."""
    for i, reading in enumerate(sheet.reading):
        wanted = 1 if reading.over in _OF_ONE else 2
        if len(set(reading.of)) != wanted or len(reading.of) != wanted:
            accepted = f"{'one name' if wanted == 1 else 'two different names'} for {reading.over}"
            yield ("reading", i, "of"), str(list(reading.of)), accepted


def more_scans(sheet: JobSheet) -> Iterator[CrossFault]:
    """Picked points come in pairs, three at least where they place a scan."""
    for i, more in enumerate(sheet.scan.more if sheet.scan else ()):
        here, there = len(more.points_here_mm), len(more.points_there_mm)
        if here != there or (here and here < _FEWEST_POINTS):
            given = f"{here} points here, {there} there"
            yield ("scan", "more", i, "points_here"), given, "three or more in each list, in the same order"
        elif more.by == "points" and not here:
            yield ("scan", "more", i, "points_here"), "none", "three or more picked points, or another by"


CHECKS = (
    CrossCheck(("scan.more.points_here", "scan.more.points_there", "scan.more.by"), more_scans),
    CrossCheck(("gasket.file",), gasket_files),
    CrossCheck(
        (
            "gasket.known",
            "gasket.known_from",
            "gasket.known_to",
            "gasket.scale_bar",
            "gasket.dots_per_inch",
        ),
        one_scale,
    ),
    CrossCheck(("reading.of", "reading.over"), readings),
)
