"""What the sheet is silent on, taken openly, heaviest first."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from tractwright.job.keys import Key, Table, tables
from tractwright.job.sheet import JobSheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """A value taken because the sheet is silent. weight : how far it can move the outcome, as a share."""

    key: str
    value: str
    why: str
    weight: float


def assumed_values(sheet: JobSheet) -> tuple[Assumed, ...]:
    """Every assumed value that this job makes use of, heaviest first, then by key."""
    found = [item for table in tables() if not table.listed for item in _of_table(sheet, table)]
    return tuple(sorted(found, key=lambda item: (-item.weight, item.key)))


def _of_table(sheet: JobSheet, table: Table) -> list[Assumed]:
    part: Any = sheet
    for name in table.path:
        part = getattr(part, name)
    if part is None:
        return []
    found: list[Assumed] = []
    for key in table.keys:
        full = ".".join((*table.path, key.name))
        if key.assumed and key.field not in part.model_fields_set and _makes_use_of(sheet, full):
            found.append(_taken(full, key, getattr(part, key.field)))
    return found


def _taken(full: str, key: Key, value: object) -> Assumed:
    return Assumed(key=full, value=f"{_plain(value)} {key.unit}".strip(), why=key.why, weight=key.weight)


def _plain(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, tuple):
        return ", ".join(_plain(item) for item in value)
    return str(value)


def _makes_use_of(sheet: JobSheet, key: str) -> bool:
    use = _USES.get(key)
    return use is None or use(sheet)


def _limited_by_scan(sheet: JobSheet) -> bool:
    return sheet.scan is not None and sheet.room.use_scan


def _has_shape(*shapes: str) -> Callable[[JobSheet], bool]:
    return lambda sheet: sheet.pattern is not None and sheet.pattern.port_shape in shapes


_USES: Final[dict[str, Callable[[JobSheet], bool]]] = {
    "room.around_old_part": _limited_by_scan,
    "room.bridge": _limited_by_scan,
    "pattern.port_height": _has_shape("oval", "rounded_rectangle", "d"),
    "pattern.port_corner_radius": _has_shape("rounded_rectangle", "d"),
    "pattern.port_lower_corner_radius": _has_shape("d"),
    "throttle.bore": lambda sheet: sheet.engine is None and not sheet.throttle.on_mouths,
    "throttle.neck": lambda sheet: not sheet.throttle.on_mouths,
    "plenum.wall": lambda sheet: not sheet.throttle.on_mouths,
    "plenum.corner_radius": lambda sheet: not sheet.throttle.on_mouths,
    "head.flange": lambda sheet: not sheet.piece,
    "runner.wall": lambda sheet: not sheet.piece,
    "runner.root_blend": lambda sheet: not sheet.piece,
    "runner.pieces": lambda sheet: not sheet.piece,
    "throttle.place": lambda sheet: not sheet.piece,
    "air.charge": lambda sheet: sheet.engine is not None,
    "air.wall": lambda sheet: sheet.engine is not None,
}
"""Keys whose value matters to some jobs only."""
