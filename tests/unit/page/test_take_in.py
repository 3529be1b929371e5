"""What is dropped is looked at before it is trusted: no path leaves the folder, no wrong content is kept."""

import asyncio
from dataclasses import dataclass

import pytest

from tractwright.page.desk import Desk
from tractwright.page.take_in import refused, safe_name, take_in


@dataclass
class File:
    name: str
    content: bytes

    async def read(self) -> bytes:
        return self.content


class Room:
    """As much of a workroom as taking in needs."""

    def __init__(self, folder):
        self.desk = Desk(folder)

    def edit(self, work):
        work(self.desk)


ONE_TRIANGLE = bytes(80) + (1).to_bytes(4, "little") + bytes(50)


@pytest.mark.parametrize(
    ("given", "safe"),
    [
        ("../../etc/passwd", "passwd"), ("..\\..\\a.stl", "a.stl"), (".hidden.stl", "hidden.stl"), ("a b;c.stl", "a_b_c.stl"),
        ("/abs/x.stl", "x.stl"), ("", "file"), ("x" * 300 + ".stl", "x" * 60 + ".stl"),
    ],
)  # fmt: skip
def test_a_name_is_plain(given, safe):
    assert safe_name(given) == safe


@pytest.mark.parametrize(
    ("ending", "content", "told"),
    [
        (".stl", ONE_TRIANGLE, ""), (".stl", b"solid a\nendsolid a", ""), (".stl", b"", "empty"),
        (".stl", ONE_TRIANGLE[:-1], "cut short"), (".stl", b"not one", "cut short"), (".ply", b"ply\n", ""),
        (".ply", b"solid", "PLY"), (".3mf", b"PK\x03\x04", ""), (".3mf", b"<xml>", "3MF"), (".obj", b"v 0 0 0", ""),
        (".step", b"ISO-10303-21;HEADER;", ""), (".stp", b"solid", "STEP"),
    ],
)  # fmt: skip
def test_wrong_content_is_refused(ending, content, told):
    assert (told in refused(ending, content)) if told else refused(ending, content) == ""


def test_a_scan_is_taken_in_and_named_in_the_sheet(tmp_path):
    room = Room(tmp_path / "job")
    words = asyncio.run(take_in(room, File("../old part.stl", ONE_TRIANGLE)))
    assert "old_part.stl taken in" in words
    assert (tmp_path / "job" / "old_part.stl").read_bytes() == ONE_TRIANGLE
    assert room.desk.facts["scan.file"] == "old_part.stl"


def test_a_drawn_piece_is_taken_in_and_named_once(tmp_path):
    room, step = Room(tmp_path / "job"), File("my head.step", b"ISO-10303-21;\nHEADER;")
    assert "designed onto it" in asyncio.run(take_in(room, step))
    asyncio.run(take_in(room, step))
    assert (tmp_path / "job" / "my_head.step").exists()
    assert room.desk.facts["piece"] == [{"own": "my_head.step"}]


@pytest.mark.parametrize("file", [File("a.exe", b"MZ"), File("job.toml", b"[job]"), File("a.stl", b"short")])
def test_what_is_no_scan_is_not_kept(tmp_path, file):
    room = Room(tmp_path / "job")
    before = (tmp_path / "job" / "job.toml").read_text()
    assert "not taken" in asyncio.run(take_in(room, file))
    assert (tmp_path / "job" / "job.toml").read_text() == before
    assert sorted(path.name for path in (tmp_path / "job").iterdir()) == ["job.toml"]
