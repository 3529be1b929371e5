"""Drawn head pieces, read and placed as the tool does it, in this process."""

from pathlib import Path

from drawn_heads import DrawnHead

from tractwright.design.pattern import Pattern
from tractwright.job.own_tables import OwnPiece
from tractwright.own.head import own_head
from tractwright.own.head_records import OwnHead
from tractwright.own.records import OwnFile
from tractwright.own.stage import own_solid, read_file

PLAIN = DrawnHead()


def read_whole(path: Path) -> OwnFile:
    """Every solid of a file."""
    read = read_file(path)
    return OwnFile(file=path.name, unit=read.unit, solids=tuple(map(own_solid, read.bodies)), notes=read.notes)


def head_in(file: OwnFile, pattern: Pattern | None = None, **words: object) -> OwnHead:
    """The head piece of a file. words : keys of its [[piece]] beside its file."""
    facts = OwnPiece.model_validate({"own": file.file, **words})
    return own_head(facts, file, "hash", pattern, cylinders=None)
