"""Same inputs, same bytes: the same job again with a cache that holds no results."""

import shutil
from collections.abc import Callable
from pathlib import Path


def _files(packet: Path) -> dict[str, bytes]:
    found = {path.relative_to(packet).as_posix(): path.read_bytes() for path in packet.rglob("*") if path.is_file()}
    del found["timing.json"]
    return found


def test_two_runs_differ_in_timing_only(
    inline_three: tuple[Path, int],
    first_cache: Path,
    job_folder: Callable[[str], Path],
    run_in: Callable[[Path, Path, str], int],
    tmp_path: Path,
):
    """Compiled kernels, which hold no result, are carried over; what Python draws by lot is drawn otherwise."""
    for compiled in first_cache.glob("compiled-*"):
        shutil.copytree(compiled, tmp_path / compiled.name)
    again = job_folder("inline-three")
    assert run_in(again, tmp_path, "2") == inline_three[1]
    first, second = _files(inline_three[0] / "packet"), _files(again / "packet")
    assert set(first) == set(second)
    assert [name for name in first if first[name] != second[name]] == []
