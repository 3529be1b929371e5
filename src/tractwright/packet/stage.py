"""Writes everything that goes out, and last the summary that names it all."""

import hashlib
import json
import shutil
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tractwright.packet import exports
from tractwright.packet.contents import Contents
from tractwright.packet.summary import summary
from tractwright.registry import modules_in

_AT_ONCE = 2
"""Files made side by side: pictures are drawn, which holds no lock, while others are put together."""


def write_packet(contents: Contents) -> tuple[str, ...]:
    """Write the packet afresh; gives the names of its files. Nothing of an earlier run is left in it."""
    made: dict[str, bytes] = {}
    with ThreadPoolExecutor(max_workers=_AT_ONCE) as workers:
        for files in workers.map(lambda module: module.write(contents), modules_in(exports)):
            made |= files
    listed = [{"path": name, "sha256": hashlib.sha256(made[name]).hexdigest()} for name in sorted(made)]
    made["summary.json"] = (json.dumps(summary(contents, listed), indent=1, allow_nan=False) + "\n").encode()
    fresh = contents.folder.with_name(f"{contents.folder.name}.partial")
    shutil.rmtree(fresh, ignore_errors=True)
    write_files(fresh, made)
    shutil.rmtree(contents.folder, ignore_errors=True)
    fresh.replace(contents.folder)
    return tuple(sorted(made))


def write_files(folder: Path, made: Mapping[str, bytes]) -> None:
    """Write files by name into a folder, making it and what lies in it as needed."""
    for name, content in sorted(made.items()):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
