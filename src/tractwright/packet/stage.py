"""Writes everything that goes out, and last the summary that names it all."""

import hashlib
import json
import shutil

from tractwright.packet import exports
from tractwright.packet.contents import Contents
from tractwright.packet.summary import summary
from tractwright.registry import modules_in


def write_packet(contents: Contents) -> tuple[str, ...]:
    """Write the packet afresh; gives the names of its files. Nothing of an earlier run is left in it."""
    made: dict[str, bytes] = {}
    for module in modules_in(exports):
        made |= module.write(contents)
    listed = [{"path": name, "sha256": hashlib.sha256(made[name]).hexdigest()} for name in sorted(made)]
    made["summary.json"] = (json.dumps(summary(contents, listed), indent=1) + "\n").encode()
    shutil.rmtree(contents.folder, ignore_errors=True)
    for name, content in sorted(made.items()):
        path = contents.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return tuple(sorted(made))
