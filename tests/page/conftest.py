"""A page served by the real command, and Debian's browser to drive it with."""

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from row_sheets import row_sheet

import invented_scan as invented
from tractwright.cache import compiled_folder
from tractwright.geometry.meshfile import write_stl

_PATIENCE_MS = 120_000
_FLAGS = ["--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]


Served = Callable[[Path], AbstractContextManager[tuple[str, subprocess.Popen[str]]]]


@pytest.fixture
def served() -> Served:
    """served(folder): a context of the link and the process of `tractwright page FOLDER`, killed at its end."""
    return _served


@contextmanager
def _served(folder: Path) -> Iterator[tuple[str, subprocess.Popen[str]]]:
    command = [sys.executable, "-c", "from tractwright.cli import main; main()", "page", str(folder)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as process:
        assert process.stdout is not None
        found = re.search(r"http://\S+", process.stdout.readline())
        assert found is not None
        try:
            yield found.group(0), process
        finally:
            os.kill(process.pid, signal.SIGKILL)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Debian's own. It goes when the module's tests are over: its driver keeps an event loop running in the thread, and once
    other tests of the same worker could start none of their own.
    """
    place = shutil.which("chromium")
    assert place is not None, "these tests drive chromium: the system's package of that name is not installed"
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=place, args=_FLAGS)
        yield started
        started.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A window of 1280 x 860; whatever it asks for from elsewhere fails the test."""
    context = browser.new_context(viewport={"width": 1280, "height": 860}, accept_downloads=True)
    context.set_default_timeout(_PATIENCE_MS)
    window = context.new_page()
    outside: list[str] = []
    window.on("request", lambda request: None if "127.0.0.1" in request.url else outside.append(request.url))
    yield window
    context.close()
    assert [url for url in outside if not url.startswith(("data:", "blob:"))] == []


def _kept_apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Results are kept apart from the user's, compiled kernels are carried over."""
    compiled = compiled_folder()
    if compiled.exists():
        shutil.copytree(compiled, tmp_path / "cache" / compiled.name)
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path / "cache"))


@pytest.fixture
def scanned_four(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a job whose ports and screws a coarse invented scan shows."""
    _kept_apart(tmp_path, monkeypatch)
    folder = tmp_path / "four"
    folder.mkdir()
    scanner = invented.Scanner(step_mm=1.9, noise_mm=0.06, strays=12, gaps=8, broken=20)
    scan = invented.invented_scan(invented.INLINE_FOUR, scanner, seed=3)
    write_stl(folder / "scan.stl", scan.triangles.astype(np.float32), "invented")
    facts = '[job]\nname = "four"\n[runner]\nlength = "220 mm"\nbore = "42 mm"\n'
    (folder / "job.toml").write_text(facts + '[scan]\nfile = "scan.stl"\n')
    return folder


@pytest.fixture
def pair(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a small invented job."""
    _kept_apart(tmp_path, monkeypatch)
    folder = tmp_path / "pair"
    folder.mkdir()
    (folder / "job.toml").write_text(row_sheet())
    return folder
