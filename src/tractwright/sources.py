"""Where each figure comes from. The texts stand in sources.toml, one table a key."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from tractwright.errors import SourceError


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A published source, or 'common practice, no source'.

    verified : a print of it was read; False means memory, judgement or shop practice, shown 'unverified'.
    """

    key: str
    text: str
    verified: bool


@cache
def all_sources() -> dict[str, Source]:
    """Every source by key."""
    raw = tomllib.loads(files("tractwright").joinpath("sources.toml").read_text(encoding="utf-8"))
    return {key: Source(key=key, text=row["text"], verified=row["verified"]) for key, row in raw.items()}


def source(key: str) -> Source:
    """The source of that key. Raises SourceError where there is none."""
    try:
        return all_sources()[key]
    except KeyError as missing:
        raise SourceError(key) from missing
