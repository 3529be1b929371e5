"""What the parts of each bank's own manifold are called in the description of both, and alone."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from tractwright.design.file import Held
from tractwright.design.paths import KINDS, resolved
from tractwright.design.records import Design

_COMMON = ("bank", "port", "head_hole", "channel")
"""Kinds whose names are one a job already."""
_REFERS = {
    "plenum": "plenum",
    "piece": "piece",
    "joint": "joint",
    "flange": "flange",
    "tapped_in": "piece",
    "runner": "runner",
}
"""Fields that name another record, and that record's kind."""
_OUTSIDE = ("", "engine", "throttle_body")
_RUNNER = re.compile(r"\br(\d+)\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class BankNames:
    """A bank's name is put behind the first word of a name; runners are counted on from those of the banks before.

    before : how many those are; runners : how many are its own.
    """

    bank: str
    before: int
    runners: int

    def given(self, kind: str, name: str) -> str:
        """What a record that is called so alone is called among both banks'."""
        if kind in _COMMON or name in _OUTSIDE:
            return name
        if kind == "runner":
            return self.worded(name)
        first, _, rest = name.partition(".")
        if kind == "boss":
            return f"{first}.{self.given('runner' if _RUNNER.fullmatch(rest) else 'plenum', rest)}"
        return ".".join(part for part in (first, self.bank, rest) if part)

    def alone(self, kind: str, name: str) -> str | None:
        """The other way; None for a name of the other bank's."""
        if kind in _COMMON:
            return name
        first, _, rest = name.partition(".")
        counted = name if kind == "runner" else rest
        if kind in ("runner", "boss") and (found := _RUNNER.fullmatch(counted)):
            number = int(found[1]) - self.before
            own = f"r{number}"
            return (own if kind == "runner" else f"{first}.{own}") if 1 <= number <= self.runners else None
        parts = name.split(".")
        if self.bank not in parts[1:]:
            return None
        parts.remove(self.bank)
        return ".".join(parts)

    def worded(self, text: str) -> str:
        """A text with its runners counted on."""
        return _RUNNER.sub(lambda found: f"r{int(found[1]) + self.before}", text)

    def path(self, path: str) -> str:
        """A path of the description, or a key of the sheet, as it is among both banks'."""
        place = resolved(path)
        return path if place is None else f"{place[0]}.{self.given(place[0], place[1])}.{place[2]}"

    def held(self, held: Held) -> Held:
        """What is held or wished of this bank's manifold, by its names alone."""
        return Held(values=self._of_bank(held.values), wishes=self._of_bank(held.wishes))

    def _of_bank(self, values: Mapping[str, Any]) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for path, value in values.items():
            place = resolved(path)
            name = None if place is None else self.alone(place[0], place[1])
            if place is None or name is not None:
                found[path if place is None else f"{place[0]}.{name}.{place[2]}"] = value
        return found

    def design(self, design: Design) -> Design:
        """A manifold of this bank alone with the names it has among both."""
        groups = {
            group: tuple(self._record(kind, item) for item in getattr(design, group)) for kind, group in KINDS.items()
        }
        return replace(design, **groups, standing={})

    def _record(self, kind: str, item: Any) -> Any:
        changed: dict[str, Any] = {"name": self.given(kind, item.name)}
        for field, to in _REFERS.items():
            if isinstance(name := getattr(item, field, None), str):
                changed[field] = self.given(to, name)
        if kind == "joint":
            changed["pieces"] = tuple(self.given("piece", name) for name in item.pieces)
        if kind == "runner":
            changed["mouth"] = replace(item.mouth, plenum=self.given("plenum", item.mouth.plenum))
        return replace(item, **changed)
