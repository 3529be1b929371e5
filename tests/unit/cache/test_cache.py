"""Kept results: the key says all the inputs say and no more, and a stale or broken file is never believed."""

import os
import subprocess
import sys
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tractwright import cache
from tractwright.job.engine_tables import AirSupply

plain = (
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=4) | st.binary(max_size=4)
)
values = st.recursive(
    plain, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner), max_leaves=8
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    at_mm: tuple[float, ...]
    points: np.ndarray


@given(values, values)
def test_keys_agree_only_where_the_values_do(a: object, b: object):
    """Against Python's own equality."""
    assert cache.key_of(a) == cache.key_of(deepcopy(a))
    if a != b:
        assert cache.key_of(a) != cache.key_of(b)


def test_the_order_of_a_mapping_and_shared_objects_do_not_matter():
    point = (1.0, 2.0)
    assert cache.key_of({"a": 1, "b": 2}) == cache.key_of({"b": 2, "a": 1})
    assert cache.key_of([point, point]) == cache.key_of([(1.0, 2.0), (1.0, 2.0)])


def test_a_record_is_read_field_by_field_and_an_array_by_shape_type_and_bytes():
    wall = Wall(at_mm=(0.0, 1.0), points=np.zeros((2, 3)))
    assert cache.key_of(wall) == cache.key_of(Wall(at_mm=(0.0, 1.0), points=np.zeros((2, 3))))
    others = [
        Wall(at_mm=(0.0, 1.5), points=np.zeros((2, 3))),
        Wall(at_mm=(0.0, 1.0), points=np.zeros((3, 2))),
        Wall(at_mm=(0.0, 1.0), points=np.zeros((2, 3), np.float32)),
        Wall(at_mm=(0.0, 1.0), points=np.full((2, 3), -0.0)),
    ]
    assert len({cache.key_of(one) for one in [wall, *others]}) == 5


def test_a_result_is_made_once_and_again_after_its_file_broke(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path))
    made = []

    def make() -> str:
        made.append(1)
        return "whole"

    assert [cache.kept("stage", (1,), make) for _ in range(3)] == ["whole"] * 3
    assert len(made) == 1
    assert cache.kept("stage", (2,), make) == "whole"
    assert len(made) == 2
    for file in (tmp_path / "results" / "stage").iterdir():
        file.write_bytes(file.read_bytes()[:5])
    assert cache.kept("stage", (1,), make) == "whole"
    assert len(made) == 3


_KERNELS = '''"""Kernels."""
from numba import njit
from {package}.low_kernels import low


@njit(cache=True)
def high() -> int:
    """Leans on another module's kernel."""
    return low() + 1
'''
_LOW = '''"""Kernels."""
from numba import njit


@njit(cache=True)
def low() -> int:
    """A number."""
    return {number}
'''


def _answer(folder: Path) -> str:
    command = [sys.executable, "-c", "import toy.kernels as k; print(k.high())"]
    return subprocess.run(command, cwd=folder, env={**os.environ, "TRACTWRIGHT_CACHE": str(folder / "kept")},
                          check=True, capture_output=True, text=True).stdout.strip()  # fmt: skip


def test_an_edit_in_an_imported_kernel_module_is_noticed(tmp_path: Path):
    """The compiler's own cache keeps the old answer: it looks at the calling module's file only."""
    package = tmp_path / "toy"
    package.mkdir()
    home = Path(cache.__file__).parent
    for name in ("__init__.py", "cache.py", "one_thread.py"):
        text = (home / name).read_text(encoding="utf-8").replace("tractwright", "toy")
        (package / name).write_text(text, encoding="utf-8")
    (package / "kernels.py").write_text(_KERNELS.format(package="toy"), encoding="utf-8")
    (package / "low_kernels.py").write_text(_LOW.format(number=1), encoding="utf-8")
    assert _answer(tmp_path) == "2"
    (package / "low_kernels.py").write_text(_LOW.format(number=5), encoding="utf-8")
    assert _answer(tmp_path) == "6"


def test_a_result_of_the_moment_is_made_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A child process once ran out of memory, and 'not built' was then kept until the next edit of the sheet."""
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path))
    answers = iter(["not built", "built", "never asked"])

    def ask() -> str:
        return cache.kept("trial", (1,), lambda: next(answers), worth=lambda found: found == "built")

    assert [ask(), ask(), ask()] == ["not built", "built", "built"]


def test_a_value_that_is_stated_is_not_the_same_value_assumed():
    """A sheet that said `screw_thread = "M8"` once got the pattern kept from a sheet that was silent about it."""
    silent, stated = AirSupply(), AirSupply.model_validate({"ambient": 1.013})
    assert silent.ambient_bar == stated.ambient_bar
    assert cache.key_of(silent) != cache.key_of(stated)
    assert cache.key_of(stated) == cache.key_of(AirSupply.model_validate({"ambient": "1013 mbar"}))
