"""Roughing against the depth at which a cutter begins to chatter by itself."""

from collections.abc import Iterator
from math import isfinite

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.make.records import Chatter


def judge(case: Case) -> Iterator[Reading]:
    """One reading a roughing cutter whose tip was measured; none of those that nothing is told of."""
    for one in case.plan.chatter if case.plan else ():
        yield Reading(
            subject=f"cutter.{one.cutter}",
            measured=one.deep_mm,
            unit="mm",
            at_most=one.limit_mm,
            broken="look",
            message=f"At {one.rpm:.0f} rev/min {one.cutter} chatters at the shop's roughing depth: {_cure(one)}.",
        )


def _cure(one: Chatter) -> str:
    """The speed at which it bears more, where there is one, else a shallower cut."""
    if one.bears_mm <= one.limit_mm:
        return "cut shallower, or narrower"
    bears = f"bears {one.bears_mm:.1f} mm" if isfinite(one.bears_mm) else "bears any depth"
    return f"cut shallower, or at {one.better_rpm:.0f} rev/min, where it {bears}"


RULE = Rule(
    id="cut.chatter",
    question="Do the roughing cutters whose tips were measured stay clear of chatter?",
    limit="the depth at which one mode of the tip, at the speed it turns, feeds itself by the waves it left; or the sheet's "
    "stable depth",
    cure="a shallower cut, another speed",
    bites_at="cut",
    needs="making",
    source="tlusty_polacek_1963",
    judge=judge,
)
