"""Pieces drawn already against each other."""

from collections.abc import Iterator

from tractwright.errors import TableError
from tractwright.job.cross_check import CrossCheck, CrossFault
from tractwright.job.sheet import JobSheet
from tractwright.standards.threads import thread

_ENDINGS = (".step", ".stp")


def piece_files(sheet: JobSheet) -> Iterator[CrossFault]:
    """A STEP file, by its ending."""
    for i, piece in enumerate(sheet.piece):
        if not piece.own.lower().endswith(_ENDINGS):
            yield ("piece", i, "own"), f'"{piece.own}"', "a file that ends in .step or .stp"


def kinds_once(sheet: JobSheet) -> Iterator[CrossFault]:
    """One piece of a kind."""
    for i, piece in enumerate(sheet.piece):
        if piece.kind in [other.kind for other in sheet.piece[:i]]:
            yield ("piece", i, "kind"), f"a second {piece.kind} piece", "one piece of each kind"


def threads_known(sheet: JobSheet) -> Iterator[CrossFault]:
    """A thread the tables know."""
    for i, piece in enumerate(sheet.piece):
        if piece.thread is not None:
            try:
                thread(piece.thread)
            except TableError as fault:
                yield (
                    ("piece", i, "thread"),
                    f'"{piece.thread}"',
                    f"a thread in the tables, such as {fault.accepted[0]}",
                )


CHECKS = (
    CrossCheck(("piece.own",), piece_files),
    CrossCheck(("piece.kind",), kinds_once),
    CrossCheck(("piece.thread",), threads_known),
)
