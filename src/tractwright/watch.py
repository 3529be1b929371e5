"""Times the stages of a job, compilation of numeric kernels apart, and tells whoever watches."""

import json
import time
from collections.abc import Callable, Generator
from contextlib import contextmanager
from pathlib import Path

from numba.core import event


class Watch:
    """A stop-watch for named stages. tell : called with each stage's name as it begins and with '' at the end of each."""

    def __init__(self, tell: Callable[[str], None]) -> None:
        self._tell = tell
        self.stages: list[tuple[str, float]] = []
        self.compile_seconds = 0.0

    @contextmanager
    def __call__(self, name: str) -> Generator[None, None, None]:
        """Time what happens inside under that name; seconds spent compiling are counted apart."""
        compiled: list[float] = []
        self._tell(name)
        start = time.perf_counter()
        with event.install_timer("numba:compile", compiled.append):
            yield
        seconds = time.perf_counter() - start
        self.compile_seconds += sum(compiled)
        self.stages.append((name, max(0.0, seconds - sum(compiled))))
        self._tell("")

    def write(self, path: Path) -> None:
        """timing.json: the only file of a packet that differs from run to run."""
        rows = [{"name": name, "seconds": round(seconds, 3)} for name, seconds in self.stages]
        record = {"stages": rows, "compile_seconds": round(self.compile_seconds, 3)}
        path.write_text(json.dumps(record, indent=1) + "\n", encoding="utf-8")
