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

import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from row_sheets import row_sheet

from tractwright.cache import compiled_folder

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


@pytest.fixture
def pair(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a small invented job; results are kept apart from the user's, compiled kernels are carried over."""
    compiled = compiled_folder()
    if compiled.exists():
        shutil.copytree(compiled, tmp_path / "cache" / compiled.name)
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path / "cache"))
    folder = tmp_path / "pair"
    folder.mkdir()
    (folder / "job.toml").write_text(row_sheet())
    return folder
