"""What only shows when keys are read together: each such check says which keys it reads, and is a function of the sheet."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

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


class Named(Protocol):
    """A table of a list that has a name."""

    @property
    def name(self) -> str:
        """What it is."""
        ...


def named_once(path: KeyPath, items: Sequence[Named]) -> Iterator[CrossFault]:
    """A fault for each of a list's tables that is named like one before it. path : of the list."""
    seen: set[str] = set()
    for i, item in enumerate(items):
        if item.name in seen:
            yield (*path, i, "name"), f'"{item.name}"', "a name of its own"
        seen.add(item.name)


def all_checks() -> tuple[CrossCheck, ...]:
    """Every check of every module in cross_checks/."""
    return tuple(check for module in modules_in(cross_checks) for check in module.CHECKS)


def cross_faults(sheet: JobSheet, unsound: frozenset[KeyPath], lines: dict[KeyPath, int]) -> list[Fault]:
    """The faults that every check finds in what can be relied on: of lists, in the items that are sound."""
    return [
        Fault(key=spelled(key), given=given, accepted=accepted, line=nearest_line(lines, key))
        for check in all_checks()
        if all(map(_item, doubted := _doubted(check, unsound)))
        for key, given, accepted in check.judge(sheet)
        if all(_beside(key, path) for path in doubted)
    ]


def _doubted(check: CrossCheck, unsound: frozenset[KeyPath]) -> list[KeyPath]:
    """What of the keys a check reads cannot be relied on."""
    return [path for path in unsound if any(_touches(tuple(read.split(".")), path) for read in check.reads)]


def _item(path: KeyPath) -> KeyPath:
    """The path of the item of a list that a path lies in; () where it lies in none."""
    places = [place for place, step in enumerate(path) if isinstance(step, int)]
    return path[: places[0] + 1] if places else ()


def _beside(key: KeyPath, unsound: KeyPath) -> bool:
    """Whether a key lies in another item of the very list that holds the unsound one."""
    mine, other = _item(key), _item(unsound)
    return bool(mine) and mine[:-1] == other[:-1] and mine[-1] != other[-1]


def _touches(read: KeyPath, unsound: KeyPath) -> bool:
    """Whether one of the two paths lies in the other."""
    names = tuple(step for step in unsound if isinstance(step, str))
    shared = min(len(read), len(names))
    return read[:shared] == names[:shared]
