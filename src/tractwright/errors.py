"""All the errors of the package, on one screen.

TractwrightError
├── SheetError     the job sheet or the description cannot be read as meant: every fault at once
├── ScanError      a scan cannot be used: which file, why
├── SolidError     a solid of the user's cannot be used: which file, why
├── TableError     a standards table has no such row
├── KernelError    an exact solid could not be made: which step
└── SourceError    a rule or constant names a source that sources.toml does not hold

A broken design rule is not an error: it is a `Finding`.
"""

from dataclasses import dataclass


class TractwrightError(Exception):
    """Root of the tree."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a sheet: the key, what was given, what is accepted, the line [1 is the first; 0 unknown]."""

    key: str
    given: str
    accepted: str
    line: int = 0

    def __str__(self) -> str:
        place = f"line {self.line}: " if self.line else ""
        return f"{place}{self.key}: given {self.given}; accepted: {self.accepted}"


class SheetError(TractwrightError):
    """A sheet with faults, all of them."""

    def __init__(self, file: str, faults: tuple[Fault, ...]) -> None:
        self.file = file
        self.faults = faults
        super().__init__(f"{file}:\n" + "\n".join(f"  {fault}" for fault in faults))


class ScanError(TractwrightError):
    """A scan that cannot be used."""

    def __init__(self, file: str, reason: str, accepted: str) -> None:
        self.file = file
        self.reason = reason
        self.accepted = accepted
        super().__init__(f"{file}: {reason}; accepted: {accepted}")


class SolidError(TractwrightError):
    """A solid of the user's that cannot be used."""

    def __init__(self, file: str, reason: str, accepted: str) -> None:
        self.file = file
        self.reason = reason
        self.accepted = accepted
        super().__init__(f"{file}: {reason}; accepted: {accepted}")


class TableError(TractwrightError):
    """A table was asked for a row that it does not hold."""

    def __init__(self, table: str, given: str, accepted: tuple[str, ...]) -> None:
        self.table = table
        self.given = given
        self.accepted = accepted
        super().__init__(f"{table}: given {given}; accepted: {', '.join(accepted)}")


class KernelError(TractwrightError):
    """An exact solid could not be made."""

    def __init__(self, step: str, reason: str) -> None:
        self.step = step
        self.reason = reason
        super().__init__(f"{step}: {reason}")


class SourceError(TractwrightError):
    """A source key that sources.toml does not hold."""

    def __init__(self, key: str) -> None:
        self.key = key
        super().__init__(f"sources.toml has no key {key!r}")
