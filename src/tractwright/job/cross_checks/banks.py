"""Banks: two, one a side, that share the cylinders out; and what cannot be done with two heads yet."""

from collections.abc import Iterator

from tractwright.job.cross_check import CrossCheck, CrossFault
from tractwright.job.sheet import JobSheet

_BANKS = 2


def banks_of_layout(sheet: JobSheet) -> Iterator[CrossFault]:
    """A vee and a flat engine have two banks, an inline engine has none of its own to tell of."""
    if sheet.engine is None:
        return
    layout = sheet.engine.layout
    if layout == "inline" and sheet.bank:
        yield ("engine", "layout"), "inline, with [[bank]] tables", '"vee" or "flat"'
    if layout != "inline" and not sheet.bank:
        yield ("engine", "layout"), f"{layout}, without [[bank]] tables", "two [[bank]] tables, one for each head"


def one_bank_a_side(sheet: JobSheet) -> Iterator[CrossFault]:
    """Two banks, the one at the left, the other at the right."""
    if not sheet.bank:
        return
    if len(sheet.bank) != _BANKS:
        yield ("bank",), f"{len(sheet.bank)} [[bank]]", "two: one at the left, one at the right"
    for i, bank in enumerate(sheet.bank[1:], start=1):
        if bank.side in [other.side for other in sheet.bank[:i]]:
            yield ("bank", i, "side"), f"a second bank at the {bank.side}", "one bank a side"


def cylinders_shared_out(sheet: JobSheet) -> Iterator[CrossFault]:
    """Each cylinder stands in one bank; both have as many, for both have the same row of ports."""
    if not sheet.bank:
        return
    given = sorted(number for bank in sheet.bank for number in bank.cylinders)
    count = sheet.engine.cylinders if sheet.engine is not None else len(given)
    if given != list(range(1, count + 1)):
        spelled = ", ".join(str(number) for number in given)
        yield ("bank", 0, "cylinders"), f"{spelled} in all", f"each number from 1 to {count} once, over both banks"
    elif len({len(bank.cylinders) for bank in sheet.bank}) > 1:
        yield ("bank", 0, "cylinders"), "banks of different length", "as many cylinders in each bank"


def order_said(sheet: JobSheet) -> Iterator[CrossFault]:
    """The firing order of an engine with two banks goes by how its cylinders are numbered: none is usual."""
    if sheet.bank and sheet.engine is not None and "firing_order" not in sheet.engine.model_fields_set:
        yield ("engine", "firing_order"), "nothing, with [[bank]] tables", "the order, such as [1, 4, 2, 5, 3, 6]"


def ports_of_banks(sheet: JobSheet) -> Iterator[CrossFault]:
    """One pattern holds for both heads: the banks say whose cylinders a port feeds."""
    for i, port in enumerate(sheet.pattern.port if sheet.bank and sheet.pattern is not None else ()):
        if port.cylinders:
            yield ("pattern", "port", i, "cylinders"), str(list(port.cylinders)), "nothing: [[bank]] says it"


def screws_not_studs(sheet: JobSheet) -> Iterator[CrossFault]:
    """A piece over two heads comes off midway between them: studs would hold it."""
    for i, screw in enumerate(sheet.pattern.screw if sheet.bank and sheet.pattern is not None else ()):
        if screw.stud:
            accepted = "false: a piece over two heads does not come off studs that look two ways"
            yield ("pattern", "screw", i, "stud"), "true, with [[bank]] tables", accepted


def not_with_banks(sheet: JobSheet) -> Iterator[CrossFault]:
    """A scan and a head piece drawn already are for one head only."""
    if not sheet.bank:
        return
    if sheet.scan is not None:
        yield ("scan",), "a scan, with [[bank]] tables", "[pattern] or [[gasket]]: scans of two heads are not read"
    if sheet.piece:
        yield ("piece", 0), "a piece drawn already, with [[bank]] tables", "none: one over two heads is not read"


CHECKS = (
    CrossCheck(("engine.layout", "bank.side"), banks_of_layout),
    CrossCheck(("bank.side",), one_bank_a_side),
    CrossCheck(("bank.cylinders", "engine.cylinders"), cylinders_shared_out),
    CrossCheck(("engine.firing_order", "bank.side"), order_said),
    CrossCheck(("pattern.port.cylinders", "bank.side"), ports_of_banks),
    CrossCheck(("pattern.screw.stud", "bank.side"), screws_not_studs),
    CrossCheck(("bank.side",), not_with_banks),
)
