"""Pieces drawn by another library, their truth known by construction: nothing of ours has touched them."""

from collections.abc import Callable
from pathlib import Path

import pytest
from build123d import Location, Part, export_step
from drawn_heads import drawn_head, write_head
from read_heads import PLAIN, head_in, read_whole

from tractwright.own.head_records import OwnHead
from tractwright.own.records import OwnFile, OwnSolid
from tractwright.own.stage import own_solid, read_file

Read = Callable[[Part], OwnSolid]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Write a part as STEP and read its only solid, in this process."""

    def through_a_file(part: Part) -> OwnSolid:
        path = tmp_path / "part.step"
        export_step(part, path)
        (body,) = read_file(path).bodies
        return own_solid(body)

    return through_a_file


@pytest.fixture(scope="session")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> OwnFile:
    """The file of a plain head piece."""
    return read_whole(write_head(tmp_path_factory.mktemp("own") / "head.step", drawn_head(PLAIN)))


@pytest.fixture(scope="session")
def plain(drawn: OwnFile) -> OwnHead:
    """The piece in it."""
    return head_in(drawn)


@pytest.fixture(scope="session")
def turned(tmp_path_factory: pytest.TempPathFactory) -> OwnFile:
    """The same piece drawn elsewhere and turned."""
    place = Location((310, -45, 72), (25, 110, -40))
    return read_whole(write_head(tmp_path_factory.mktemp("turned") / "head.step", drawn_head(PLAIN), turned=place))
