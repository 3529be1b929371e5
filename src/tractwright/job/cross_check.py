"""What only shows when keys are read together: each such check says which keys it reads, and is a function of the sheet."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tractwright.errors import Fault
from tractwright.job import cross_checks
from tractwright.job.lines import KeyPath, nearest_line, spelled
from tractwright.job.sheet import JobSheet
from tractwright.registry import modules_in

CrossFault = tuple[KeyPath, str, str]
"""The key at fault, what was given, what is accepted."""


@dataclass(frozen=True, slots=True)
class CrossCheck:
    """A check that needs more than one key. reads : the keys it looks at, dotted."""

    reads: tuple[str, ...]
    judge: Callable[[JobSheet], Iterator[CrossFault]]


def all_checks() -> tuple[CrossCheck, ...]:
    """Every check of every module in cross_checks/."""
    return tuple(check for module in modules_in(cross_checks) for check in module.CHECKS)


def cross_faults(sheet: JobSheet, unsound: frozenset[KeyPath], lines: dict[KeyPath, int]) -> list[Fault]:
    """The faults of every check whose keys can be relied on."""
    return [
        Fault(key=spelled(key), given=given, accepted=accepted, line=nearest_line(lines, key))
        for check in all_checks()
        if not any(_touches(tuple(read.split(".")), path) for read in check.reads for path in unsound)
        for key, given, accepted in check.judge(sheet)
    ]


def _touches(read: KeyPath, unsound: KeyPath) -> bool:
    """Whether one of the two paths lies in the other."""
    names = tuple(step for step in unsound if isinstance(step, str))
    shared = min(len(read), len(names))
    return read[:shared] == names[:shared]
