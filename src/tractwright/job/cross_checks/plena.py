"""A plenum a bank: what it needs, and what says more than one plenum can follow."""

from collections.abc import Iterator

from tractwright.job.cross_check import CrossCheck, CrossFault
from tractwright.job.sheet import JobSheet


def two_heads(sheet: JobSheet) -> Iterator[CrossFault]:
    """Over which head a plenum stands is only asked where there are two."""
    if not sheet.bank and "over" in sheet.plenum.model_fields_set:
        yield ("plenum", "over"), f'"{sheet.plenum.over}", with one head', "nothing: it is for engines with two heads"


def placed_by_tool(sheet: JobSheet) -> Iterator[CrossFault]:
    """One place and one direction cannot be those of two plena."""
    if sheet.plenum.over == "both":
        return
    for key, given in (("at", sheet.plenum.at_mm), ("direction", sheet.plenum.direction)):
        if given is not None:
            spelled = "[" + ", ".join(f"{value:g}" for value in given) + "]"
            yield ("plenum", key), f"{spelled}, with a plenum a bank", "nothing: the place of two plena is solved"


def balance_joins_two(sheet: JobSheet) -> Iterator[CrossFault]:
    """A balance pipe goes from one plenum to another."""
    if sheet.air.balance_length_mm > 0.0 and sheet.plenum.over == "both":
        given = f"{sheet.air.balance_length_mm:g} mm, with one plenum"
        yield ("air", "balance_length"), given, 'nothing, or plenum.over = "own": it joins the plena of two banks'


CHECKS = (
    CrossCheck(("air.balance_length", "plenum.over"), balance_joins_two),
    CrossCheck(("plenum.over", "bank.side"), two_heads),
    CrossCheck(("plenum.over", "plenum.at", "plenum.direction"), placed_by_tool),
)
