"""The stop-watch: names told as they begin and end, seconds kept, compilation apart."""

import json
import time
from pathlib import Path

import pytest
from numba import njit

from tractwright.watch import Watch


def test_stages_are_told_timed_and_written(tmp_path: Path):
    told: list[str] = []
    watch = Watch(told.append)
    with watch("first"):
        time.sleep(0.02)
    with watch("second"):
        pass
    watch.write(tmp_path / "timing.json")
    record = json.loads((tmp_path / "timing.json").read_text(encoding="utf-8"))
    assert told == ["first", "", "second", ""]
    assert [stage["name"] for stage in record["stages"]] == ["first", "second"]
    assert record["stages"][0]["seconds"] == pytest.approx(watch.stages[0][1], abs=1e-3)
    assert record["stages"][0]["seconds"] >= 0.02
    assert record["compile_seconds"] == 0.0


def test_compiling_is_counted_apart():
    watch = Watch(lambda _: None)

    @njit
    def added(a: float, b: float) -> float:
        return a + b

    with watch("compiles"):
        added(1.0, 2.0)
    assert watch.compile_seconds > 0.0
