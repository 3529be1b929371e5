"""Results kept on disk, keyed by a hash of inputs and code, so that a change costs only what depends on it.

Compiled numeric kernels are kept the same way: a compiler's own cache does not notice an edit in an imported module, so
its folder is named after a hash of every module that holds kernels (kernel modules import none of ours but each other:
a test sees to it).
"""

import hashlib
import os
import pickle
import tempfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import TypeVar, cast

import numpy as np

Result = TypeVar("Result")


@cache
def source_hash() -> str:
    """A hash of every source and data file of the package."""
    root = Path(__file__).parent
    digest = hashlib.sha256()
    for path in sorted(root.rglob("*")):
        if path.suffix in {".py", ".csv", ".toml", ".typ"} and path.is_file():
            digest.update(path.relative_to(root).as_posix().encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def cache_folder() -> Path:
    """Where results are kept: TRACTWRIGHT_CACHE, or a folder of the user's."""
    named = os.environ.get("TRACTWRIGHT_CACHE")
    if named:
        return Path(named)
    base = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    return (Path(base) if base else Path.home() / ".cache") / "tractwright"


@cache
def compiled_folder() -> Path:
    """Where compiled numeric kernels of this very source are kept."""
    digest = hashlib.sha256()
    for path in kernel_modules():
        digest.update(path.read_bytes())
    return cache_folder() / f"compiled-{digest.hexdigest()[:16]}"


def kernel_modules() -> tuple[Path, ...]:
    """The modules of the package that compile numeric kernels."""
    found = sorted(Path(__file__).parent.rglob("*.py"))
    return tuple(
        path for path in found if "from numba import" in path.read_text(encoding="utf-8") and path.name != "cache.py"
    )


def key_of(*inputs: object) -> str:
    """A hash of what the inputs say: records by their fields, arrays by their bytes, so that equal inputs agree.

    A pickle would not do: it also tells which parts are the same object.
    """
    said: list[bytes] = []
    _spell(inputs, said.append)
    return hashlib.sha256(b"".join(said)).hexdigest()


_PLAIN = frozenset({float, int, str, bool, type(None)})


def _spell(value: object, say: Callable[[bytes], None]) -> None:
    """Say the value as a run of bytes, each kind marked, so that no two different values read alike."""
    kind = type(value)
    held = None if kind in _PLAIN else _held(value)
    if held is not None:
        say(f"<{kind.__qualname__} {len(held)}>".encode())
        for item in held:
            _spell(item, say)
    elif isinstance(value, np.ndarray):
        say(f"[{value.dtype.str}{value.shape}]".encode())
        say(np.ascontiguousarray(value).tobytes())
    elif isinstance(value, bytes):
        say(b"b" + str(len(value)).encode() + b":" + value)
    else:
        say(f"{kind.__name__}:{value!r};".encode())


def _held(value: object) -> Sequence[object] | None:
    """What a record, a mapping or a collection holds, in an order of its own; None for a plain value."""
    if isinstance(value, tuple | list):
        return value
    names = _field_names(type(value))
    if names is not None:
        return [(name, getattr(value, name)) for name in names]
    stated = getattr(value, "model_fields_set", None)
    if isinstance(stated, set):  # a sheet's table: a value that is stated may count where the same one assumed does not
        return [sorted(cast("set[str]", stated)), dict(cast("Iterable[tuple[str, object]]", value))]
    if isinstance(value, Mapping):
        return [(key, value[key]) for key in sorted(value, key=repr)]
    return sorted(value, key=repr) if isinstance(value, set | frozenset) else None


@cache
def _field_names(kind: type) -> tuple[str, ...] | None:
    """The fields of a kind of record; None for what is no record."""
    return tuple(field.name for field in fields(kind)) if is_dataclass(kind) else None


def always(_result: object) -> bool:
    """Every result is worth keeping."""
    return True


def kept(
    stage: str, inputs: tuple[object, ...], make: Callable[[], Result], worth: Callable[[Result], bool] = always
) -> Result:
    """The stage's result for these inputs and this source: read if it is there, else made and, where worth it, kept.

    worth : no for a result that hangs on the moment, such as a child process that ran out of memory. A file that cannot
    be read is made again.
    """
    path = cache_folder() / "results" / stage / f"{key_of(source_hash(), inputs)}.pickle"
    if path.exists():
        try:
            return cast("Result", pickle.loads(path.read_bytes()))
        except (pickle.UnpicklingError, EOFError, AttributeError, ImportError, IndexError):
            path.unlink(missing_ok=True)
    result = make()
    if not worth(result):
        return result
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, partial = tempfile.mkstemp(dir=path.parent)
    with os.fdopen(handle, "wb") as file:
        pickle.dump(result, file, protocol=5)
    Path(partial).replace(path)
    return result
