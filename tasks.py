"""The only runner. Standard library only; makes .venv beside itself, then runs the job asked for.

python tasks.py demo [NAME]     run an example (inline-four) and leave its packet beside the sheet
python tasks.py test            every check there is: lint, types, layers, tests
python tasks.py bench NAME      a benchmark; --seed N --count N go on to it
"""

import ctypes.util
import hashlib
import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
SCRIPTS = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = SCRIPTS / ("python.exe" if os.name == "nt" else "python")
LOCK = ROOT / "requirements.lock"
STAMP = VENV / "installed"

# Shared libraries that wheels look for on Linux, and the Debian package of each.
LIBRARIES = {
    "GL": "libgl1",
    "X11": "libx11-6",
    "GLU": "libglu1-mesa",
    "Xrender": "libxrender1",
    "Xcursor": "libxcursor1",
    "Xft": "libxft2",
    "Xinerama": "libxinerama1",
}


def run(*command: str | Path, **variables: str) -> None:
    """Run, show what is run, stop at the first failure."""
    print("$", *command, flush=True)
    done = subprocess.run([str(part) for part in command], cwd=ROOT, env={**os.environ, **variables}, check=False)
    if done.returncode:
        sys.exit(done.returncode)


def install() -> None:
    """The environment, made once for a lock: every package by hash, ours last, from its source folder."""
    wanted = hashlib.sha256(LOCK.read_bytes() + (ROOT / "pyproject.toml").read_bytes()).hexdigest()
    if STAMP.exists() and STAMP.read_text() == wanted:
        return
    if not PYTHON.exists():
        venv.create(VENV, with_pip=True)
    run(PYTHON, "-m", "pip", "install", "--quiet", "--require-hashes", "-r", LOCK)
    run(PYTHON, "-m", "pip", "install", "--quiet", "--no-deps", "--no-build-isolation", "-e", ROOT)
    STAMP.write_text(wanted)


def need_libraries(libraries: dict[str, str]) -> None:
    """Shared libraries of the system: installed where we may, asked for in one line where not."""
    if not sys.platform.startswith("linux"):
        return
    need_packages(sorted(package for name, package in libraries.items() if not ctypes.util.find_library(name)))


def need_browser() -> None:
    """The browser that the page's tests drive."""
    if sys.platform.startswith("linux"):
        need_packages([] if shutil.which("chromium") else ["chromium"])


def need_packages(missing: list[str]) -> None:
    """Packages of the system that are not there yet."""
    if not missing:
        return
    if os.geteuid() == 0 and shutil.which("apt-get"):
        run("apt-get", "update", "-qq")
        run("apt-get", "install", "-y", "-qq", "--no-install-recommends", *missing)
        return
    sys.exit(f"These system packages are missing (Debian names): {' '.join(missing)}. Install them and start again.")


def demo(name: str = "inline-four") -> None:
    """Run an example from its sheet to its packet."""
    need_libraries(LIBRARIES)
    install()
    folder = ROOT / "examples" / name
    if not (folder / "job.toml").exists():
        known = sorted(path.parent.name for path in (ROOT / "examples").glob("*/job.toml"))
        sys.exit(f"No example {name!r}; there are: {', '.join(known)}.")
    for maker in sorted(folder.glob("make_*.py")):
        run(PYTHON, maker)
    run(SCRIPTS / "tractwright", "run", folder)


def test() -> None:
    """Lint, types, layers, tests."""
    need_libraries(LIBRARIES)
    need_browser()
    install()
    run(PYTHON, "-m", "ruff", "check", ".")
    run(PYTHON, "-m", "ruff", "format", "--check", ".")
    run(PYTHON, "-m", "basedpyright")
    run(SCRIPTS / "lint-imports")
    # One numeric thread a worker: two workers share two cores.
    run(PYTHON, "-m", "pytest", "-q", "-n", "2", "--dist", "worksteal", OMP_NUM_THREADS="1")


def bench(name: str = "", *options: str) -> None:
    """Run one benchmark."""
    script = ROOT / "benchmarks" / f"{name}.py"
    if not script.exists():
        known = sorted(path.stem for path in (ROOT / "benchmarks").glob("[a-z]*.py"))
        sys.exit(f"No benchmark {name!r}; there are: {', '.join(known)}.")
    need_libraries(LIBRARIES)
    install()
    run(PYTHON, script, *options)


if __name__ == "__main__":
    tasks = {"demo": demo, "test": test, "bench": bench}
    task, *rest = sys.argv[1:] or [""]
    if task not in tasks:
        sys.exit(__doc__)
    tasks[task](*rest)
