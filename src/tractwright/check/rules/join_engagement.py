"""Thread enough that the screw breaks before the thread strips, by class and metal."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.inserts import insert_advice
from tractwright.check.measures import deepest_tip_mm, stack_mm
from tractwright.check.plates import thick_joints
from tractwright.design.records import Screw
from tractwright.errors import TableError
from tractwright.standards.screws import stock_length_at_least, stock_lengths
from tractwright.standards.threads import thread
from tractwright.strength.screws import insert_of


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: full thread in the metal. A joint with a flange that is too thin is wall.flange's to say."""
    loads = {load.screw: load for load in case.loads.screws}
    thick = thick_joints(case)
    for screw in case.design.screws:
        if screw.joint not in thick:
            continue
        load = loads[screw.name]
        limit = min(load.engagement_needed_mm, load.engagement_for_clamp_mm)
        insert = insert_of(screw, case.sheet)
        stack = stack_mm(case, screw)
        longest = stack + deepest_tip_mm(case, screw)
        fix = _longer(screw, stack, limit, longest) if insert is None else None
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=load.engagement_mm,
            unit="mm",
            at_least=limit,
            at_mm=screw.seat_mm,
            message=_inserted(case, screw, load.engagement_mm, limit)
            if insert
            else _message(screw, (load.engagement_mm, limit), longest, fix),
            fix=fix,
        )


def _inserted(case: Case, screw: Screw, has_mm: float, needs_mm: float) -> str:
    """Of an insert: whether it is the screw that does not reach its end, or the insert that is short."""
    longest = insert_of(screw, case.sheet)
    short = f"The insert's thread strips before the screw breaks, {needs_mm:.1f} mm of it are needed:"
    if longest is not None and has_mm < longest.assembled_least_mm and longest.assembled_least_mm >= needs_mm:
        return f"{short} the screw ends in it after {has_mm:.1f} mm, take a longer screw."
    return f"{short} {insert_advice(case, screw, needs_mm)}."


def _message(screw: Screw, has_and_needs_mm: tuple[float, float], longest_mm: float, fix: Fix | None) -> str:
    """longest_mm : the longest screw that the hole takes."""
    d = thread(screw.thread).major_mm
    has, needs = (f"{length / d:.2g} d" for length in has_and_needs_mm)
    short = f"The thread strips before the screw breaks: {has} in it, {needs} needed."
    if fix is not None:
        return f"{short} Take the longer screw."
    if longest_mm > max(stock_lengths(screw.head, screw.thread)):
        return f"{short} No {screw.thread} screw is made long enough: a lower seat, or a larger thread."
    if screw.tapped_in == "engine":
        return f"{short} The head's hole takes no longer screw: an insert, or a lower class and torque."
    return f"{short} No stock length fits this hole: cut the thread deeper, or a lower class and torque."


def _longer(screw: Screw, stack_mm: float, needed_mm: float, longest_mm: float) -> Fix | None:
    """The next stock length with thread enough, where the hole takes it. stack_mm : before its thread begins."""
    try:
        length = stock_length_at_least(screw.head, screw.thread, stack_mm + needed_mm)
    except TableError:
        return None
    if needed_mm > screw.tapped_depth_mm or length > longest_mm + 1e-9:
        return None
    return Fix(path=f"screw.{screw.name}.length_mm", value=length, what=f"screw {length:.0f} mm long")


RULE = Rule(
    id="join.engagement",
    question="Is there thread enough that no screw strips its hole?",
    limit="full thread for the screw to break before the thread strips, or for 1.5 x its highest clamp where that "
    "is less: by class, thread and metal",
    cure="the next longer stock length",
    bites_at="join",
    needs="description",
    source="iso_16224",
    judge=judge,
)
