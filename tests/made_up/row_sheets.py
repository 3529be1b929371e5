"""Sheets of an invented row of oval ports, as text: no engine, no scan. Nobody's engine."""

from collections.abc import Mapping
from typing import Any

import tomlkit

_PAIR: dict[str, dict[str, Any]] = {
    "job": {"name": "invented pair"},
    "runner": {"length": "150 mm", "bore": "36 mm"},
    "throttle": {"bore": "46 mm"},
    "pattern": {
        "port_shape": "oval",
        "port_width": "40 mm",
        "port_height": "28 mm",
        "screw_rise": "31 mm",
        "port": [{"at": [-42, 0]}, {"at": [42, 0]}],
    },
}
LARGER: dict[str, dict[str, Any]] = {
    "runner": {"length": "190 mm", "bore": "38 mm", "lip_radius": "7 mm"},
    "plenum": {"volume": "0.9 l"},
}
"""The pair with longer and wider runners, its lip and its plenum's volume said."""


def row_sheet(**tables: Mapping[str, Any]) -> str:
    """The sheet of a small pair, with these facts of its tables added or put in place of its own."""
    names = dict.fromkeys((*_PAIR, *tables))
    return tomlkit.dumps({name: {**_PAIR.get(name, {}), **tables.get(name, {})} for name in names})
