"""Pieces drawn by another library, their truth known by construction: nothing of ours has touched them."""

from collections.abc import Callable
from pathlib import Path

import pytest
from build123d import Part, export_step

from tractwright.own.records import OwnSolid
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
