"""Whole jobs, run once each from a shell with a cache of their own."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tractwright.cache import compiled_folder

EXAMPLES = Path(__file__).parents[2] / "examples"
_RUN = (sys.executable, "-c", "from tractwright.cli import main; main()", "run")


@pytest.fixture(scope="session")
def run_in() -> Callable[[Path, Path, str], int]:
    """Runs the job of a folder: run_in(folder, cache, seed for whatever Python draws by lot) gives its exit code."""

    def run(folder: Path, cache: Path, seed: str) -> int:
        surroundings = os.environ | {"TRACTWRIGHT_CACHE": str(cache), "PYTHONHASHSEED": seed}
        return subprocess.run([*_RUN, str(folder)], env=surroundings, timeout=600, check=False).returncode

    return run


@pytest.fixture(scope="session")
def job_folder(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """A fresh folder with the sheet of an example: job_folder(name)."""

    def copied(name: str) -> Path:
        folder = tmp_path_factory.mktemp(name)
        shutil.copy(EXAMPLES / name / "job.toml", folder)
        return folder

    return copied


@pytest.fixture(scope="session")
def first_cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache without results for the first run; compiled kernels, which hold none, are carried over."""
    folder = tmp_path_factory.mktemp("cache")
    if compiled_folder().exists():
        shutil.copytree(compiled_folder(), folder / compiled_folder().name)
    return folder


@pytest.fixture(scope="session")
def inline_three(
    job_folder: Callable[[str], Path], run_in: Callable[[Path, Path, str], int], first_cache: Path
) -> tuple[Path, int]:
    """The folder of the inline three after its run, and the exit code."""
    folder = job_folder("inline-three")
    return folder, run_in(folder, first_cache, "1")
