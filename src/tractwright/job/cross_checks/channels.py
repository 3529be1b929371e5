"""Channels: names of their own, threads that the tables hold, a head to belong to, an opening wide enough."""

from collections.abc import Iterator

from tractwright.errors import TableError
from tractwright.job.channel_tables import ChannelFacts
from tractwright.job.cross_check import CrossCheck, CrossFault, named_once
from tractwright.job.cross_checks.bosses import thread_is_known, threads_held
from tractwright.job.sheet import JobSheet
from tractwright.standards.npt import taper_pipe_thread, taper_pipe_threads


def names_once(sheet: JobSheet) -> Iterator[CrossFault]:
    """Each channel has a name of its own."""
    yield from named_once(("channel",), sheet.channel)


def threads_known(sheet: JobSheet) -> Iterator[CrossFault]:
    """The fitting's thread and the plug's are in the tables."""
    for i, item in enumerate(sheet.channel):
        if not thread_is_known(item.thread):
            yield ("channel", i, "thread"), f'"{item.thread}"', threads_held()
        if item.plug is not None and not _is_plug(item.plug):
            known = ", ".join(f"{plug.designation} NPT" for plug in taper_pipe_threads())
            yield ("channel", i, "plug"), f'"{item.plug}"', f"a taper pipe thread: {known}"


def _is_plug(name: str) -> bool:
    try:
        taper_pipe_thread(name)
    except TableError:
        return False
    return True


def sides_said(sheet: JobSheet) -> Iterator[CrossFault]:
    """Over two heads each channel says which is its own; over one none does."""
    for i, item in enumerate(sheet.channel):
        if sheet.bank and item.side is None:
            yield ("channel", i, "side"), "nothing", "left or right: there are two heads"
        if not sheet.bank and item.side is not None:
            yield ("channel", i, "side"), f'"{item.side}"', "nothing: there is one head"


def openings(sheet: JobSheet) -> Iterator[CrossFault]:
    """A circle is as high as wide, corners fit in, and the drilling goes into the opening."""
    for i, item in enumerate(sheet.channel):
        least = least_mm(item)
        if item.shape == "circle" and item.height_mm not in (None, item.width_mm):
            yield (
                ("channel", i, "height"),
                f"{item.height_mm:g} mm",
                f"nothing, or {item.width_mm:g} mm: it is a circle",
            )
        if item.shape == "rounded_rectangle" and item.corner_radius_mm > least / 2.0:
            accepted = f"at most half of its least width, {least / 2.0:g} mm"
            yield ("channel", i, "corner_radius"), f"{item.corner_radius_mm:g} mm", accepted
        if item.bore_mm is not None and item.bore_mm > least:
            yield (
                ("channel", i, "bore"),
                f"{item.bore_mm:g} mm",
                f"at most the least width of the opening, {least:g} mm",
            )


def least_mm(facts: ChannelFacts) -> float:
    """The least width of an opening [mm]."""
    return min(facts.width_mm, facts.height_mm or facts.width_mm)


def places_fit(sheet: JobSheet) -> Iterator[CrossFault]:
    """A place on the outer face belongs to a fitting that stands out, a way to one in the edge."""
    for i, item in enumerate(sheet.channel):
        if item.leaves == "edge" and item.port_at_mm is not None:
            yield ("channel", i, "port_at"), "a place, and leaves edge", 'nothing, or leaves = "out"'
        if item.leaves == "out" and item.towards_deg is not None:
            yield ("channel", i, "towards"), "a way, and leaves out", 'nothing, or leaves = "edge"'
        if item.plug is not None and item.port_at_mm is None:
            yield ("channel", i, "plug"), f'"{item.plug}", and one straight drilling', "nothing, or port_at"


def not_in_drawn_pieces(sheet: JobSheet) -> Iterator[CrossFault]:
    """A head piece drawn already has its channels drawn too."""
    if sheet.piece and sheet.channel:
        yield ("channel", 0), "a channel in a head piece drawn already", "none: draw it in the piece"


def carries_what_is_listed(sheet: JobSheet) -> Iterator[CrossFault]:
    """What a channel carries on is listed among what the old part carried."""
    known = [thing.name for thing in sheet.room.carried]
    for i, item in enumerate(sheet.channel):
        if item.carries is not None and item.carries not in known:
            listed = ", ".join(known) or "none is listed"
            yield ("channel", i, "carries"), f'"{item.carries}"', f"a name of [[room.carried]]: {listed}"


CHECKS = (
    CrossCheck(("channel.name",), names_once),
    CrossCheck(("channel.thread", "channel.plug"), threads_known),
    CrossCheck(("channel.side", "bank.side"), sides_said),
    CrossCheck(("channel.shape", "channel.width", "channel.height", "channel.corner_radius", "channel.bore"), openings),
    CrossCheck(("channel.leaves", "channel.port_at", "channel.towards", "channel.plug"), places_fit),
    CrossCheck(("channel", "piece"), not_in_drawn_pieces),
    CrossCheck(("channel.carries", "room.carried.name"), carries_what_is_listed),
)
