"""The published tables as rows: csv files beside this module, each row with the source it was read in.

Columns every table has: `source` (a key of sources.toml), `verified` (yes: a print was read; no: memory or judgement),
`unverified` (names of columns of a verified row that are not).
"""

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from tractwright.errors import TableError


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """Where a row comes from. unverified : names of its columns from memory or judgement, all when not verified."""

    source: str
    verified: bool
    unverified: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table, its cells read by column name."""

    table: str
    cells: tuple[tuple[str, str], ...]

    def text(self, column: str) -> str:
        """The cell as it stands. Raises TableError for a column the table has not."""
        for name, value in self.cells:
            if name == column:
                return value
        raise TableError(f"{self.table}.csv columns", column, tuple(name for name, _ in self.cells))

    def number(self, column: str) -> float:
        """The cell as a number. Raises TableError where it is none."""
        try:
            return float(self.text(column))
        except ValueError as fault:
            raise TableError(f"{self.table}.csv {column}", repr(self.text(column)), ("a number",)) from fault

    def number_or_none(self, column: str) -> float | None:
        """The cell as a number, None where it is empty: what the kind of thing does not have."""
        return self.number(column) if self.text(column) else None

    def numbers(self, column: str) -> tuple[float, ...]:
        """The cell as numbers parted by spaces."""
        return tuple(float(part) for part in self.text(column).split())

    @property
    def origin(self) -> Origin:
        """Where the row comes from."""
        verified = self.text("verified") == "yes"
        named = tuple(self.text("unverified").split())
        values = tuple(name for name, _ in self.cells if name not in ("source", "verified", "unverified"))
        return Origin(source=self.text("source"), verified=verified, unverified=named if verified else values)


@cache
def rows(table: str) -> tuple[Row, ...]:
    """All rows of a table, in its own order."""
    text = files("tractwright.standards").joinpath(f"{table}.csv").read_text(encoding="utf-8")
    return tuple(Row(table, tuple(cells.items())) for cells in csv.DictReader(text.splitlines()))


def row(table: str, **wanted: str) -> Row:
    """The first row whose columns hold the wanted texts. Raises TableError naming what the first column holds."""
    for candidate in rows(table):
        if all(candidate.text(column) == value for column, value in wanted.items()):
            return candidate
    given = " ".join(wanted.values())
    last = list(wanted)[-1]
    raise TableError(table, given, tuple(dict.fromkeys(item.text(last) for item in rows(table))))


def row_of_number(table: str, column: str, value: float) -> Row:
    """The row whose column equals a number to a thousandth. Raises TableError."""
    for candidate in rows(table):
        if abs(candidate.number(column) - value) < 1e-3:
            return candidate
    raise TableError(table, f"{column} {value:g}", tuple(item.text(column) for item in rows(table)))
