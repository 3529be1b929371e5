"""Bosses: names of their own, threads that the tables hold, steps that grow narrower and deeper, one ground each."""

from collections.abc import Iterator
from itertools import pairwise

from tractwright.errors import TableError
from tractwright.job.cross_check import CrossCheck, CrossFault, named_once
from tractwright.job.fields import key_of_field
from tractwright.job.sheet import JobSheet
from tractwright.standards.npt import taper_pipe_thread, taper_pipe_threads
from tractwright.standards.threads import thread, threads


def names_once(sheet: JobSheet) -> Iterator[CrossFault]:
    """Each boss has a name of its own."""
    yield from named_once(("boss",), sheet.boss)


def threads_known(sheet: JobSheet) -> Iterator[CrossFault]:
    """A boss's thread is in the tables."""
    for i, item in enumerate(sheet.boss):
        if item.thread is not None and not thread_is_known(item.thread):
            yield ("boss", i, "thread"), f'"{item.thread}"', threads_held()


def threads_held() -> str:
    """Every thread in the tables, straight or taper pipe, in words."""
    known = [held.designation for held in threads()]
    known += [f"{held.designation} NPT" for held in taper_pipe_threads()]
    return f"a thread in the tables: {', '.join(known)}"


def thread_is_known(name: str) -> bool:
    """Whether the tables hold a thread, straight or taper pipe."""
    for table in (taper_pipe_thread if name.upper().endswith("NPT") else thread,):
        try:
            table(name)
        except TableError:
            return False
    return True


def steps_go_down(sheet: JobSheet) -> Iterator[CrossFault]:
    """Each step of a pocket is narrower and deeper than the one before, and the bore narrower than all."""
    for i, item in enumerate(sheet.boss):
        steps = item.pocket_mm
        wrong = any(a <= 0 or b <= 0 for a, b in steps)
        wrong |= any(b[0] >= a[0] or b[1] <= a[1] for a, b in pairwise(steps))
        if wrong:
            given = ", ".join(f"[{a:g}, {b:g}]" for a, b in steps)
            yield (
                ("boss", i, "pocket"),
                f"[{given}]",
                "steps from the top down, each narrower and deeper than the one before",
            )
        elif steps and item.bore_mm is not None and item.bore_mm >= steps[-1][0]:
            yield (
                ("boss", i, "bore"),
                f"{item.bore_mm:g} mm",
                f"a bore narrower than its last step, {steps[-1][0]:g} mm",
            )


def one_ground(sheet: JobSheet) -> Iterator[CrossFault]:
    """A boss stands on runners or on a wall."""
    for i, item in enumerate(sheet.boss):
        if item.wall is not None and item.runners:
            yield ("boss", i, "wall"), f'"{item.wall}", and runners', "either runners or a wall of the plenum"


_ON_A_RUNNER = ("station_mm", "share", "clock_deg", "aim", "lean_deg")
_PLACES = ("station_mm", "share", "top_at_mm")


def one_place(sheet: JobSheet) -> Iterator[CrossFault]:
    """A boss's place is said once, and in the words of the ground it stands on."""
    for i, item in enumerate(sheet.boss):
        said = item.model_fields_set
        if item.wall is not None:
            strange = [key for key in _ON_A_RUNNER if key in said]
            accepted = "no such key beside wall: wall_at or top_at places a boss on a wall"
        else:
            strange = [key for key in ("wall_at_mm",) if key in said]
            accepted = "no such key without wall: station and clock, or top_at, place a boss on a runner"
        for key in strange:
            yield ("boss", i, key_of_field(key)), "said", accepted
        twice = [key_of_field(key) for key in _PLACES if key in said]
        if item.wall is None and len(twice) > 1:
            yield ("boss", i, twice[-1]), " and ".join(twice), "one of station, share and top_at"


def blind_ones_have_threads(sheet: JobSheet) -> Iterator[CrossFault]:
    """A blind hole is there for its thread."""
    for i, item in enumerate(sheet.boss):
        if item.blind and not item.thread:
            yield ("boss", i, "blind"), "true, and no thread", "a thread, or a hole that goes through"


def one_top(sheet: JobSheet) -> Iterator[CrossFault]:
    """A top in space is that of one boss, off the skin by its own height, and points somewhere."""
    for i, item in enumerate(sheet.boss):
        if item.top_at_mm is None:
            continue
        if len(item.runners) > 1:
            yield ("boss", i, "top_at"), f"a top, and {len(item.runners)} runners", "one runner, or none: the nearest"
        if item.towards is not None and not any(item.towards):
            yield ("boss", i, "towards"), "[0, 0, 0]", "a direction, such as [0, 1, 0]"


def carries_what_is_listed(sheet: JobSheet) -> Iterator[CrossFault]:
    """What a boss carries on is listed among what the old part carried."""
    known = [thing.name for thing in sheet.room.carried]
    for i, item in enumerate(sheet.boss):
        if item.carries is not None and item.carries not in known:
            listed = ", ".join(known) or "none is listed"
            yield ("boss", i, "carries"), f'"{item.carries}"', f"a name of [[room.carried]]: {listed}"


CHECKS = (
    CrossCheck(("boss.name",), names_once),
    CrossCheck(("boss.thread",), threads_known),
    CrossCheck(("boss.pocket", "boss.bore"), steps_go_down),
    CrossCheck(("boss.wall", "boss.runners"), one_ground),
    CrossCheck(
        (
            "boss.wall",
            "boss.wall_at",
            "boss.station",
            "boss.share",
            "boss.clock",
            "boss.aim",
            "boss.lean",
            "boss.top_at",
        ),
        one_place,
    ),
    CrossCheck(("boss.blind", "boss.thread"), blind_ones_have_threads),
    CrossCheck(("boss.top_at", "boss.runners", "boss.towards"), one_top),
    CrossCheck(("boss.carries", "room.carried.name"), carries_what_is_listed),
)
