"""hand_off/spacer.step: each insulating spacer as an exact solid, where it lies in the job."""

from collections.abc import Mapping, Sequence

from tractwright.cache import kept
from tractwright.design.spacer_space import spacer_name
from tractwright.kernel.packed import PackedSolid
from tractwright.packet.contents import Contents


def write(contents: Contents) -> Mapping[str, bytes]:
    """One file a spacer that was built."""
    built = [(spacer_name(item.name), item.solid) for item in contents.case.spacers if item.solid is not None]
    names = tuple(name for name, _ in built)
    return kept("spacer_files", (contents.case.design, names), lambda: _files(built)) if built else {}


def _files(built: Sequence[tuple[str, PackedSolid]]) -> dict[str, bytes]:
    from tractwright.kernel.step import step_bytes  # loads the kernel: only where files are written anew

    return {f"hand_off/{name}.step": step_bytes([(name, solid.opened())], name) for name, solid in built}
