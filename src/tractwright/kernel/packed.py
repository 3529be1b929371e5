"""An exact solid on its way between stages: its bytes only, so that a job that asks nothing of the kernel never loads it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tractwright.kernel.solid import Solid


@dataclass(frozen=True, slots=True)
class PackedSolid:
    """One solid in the kernel's binary form, without its triangles."""

    data: bytes = field(repr=False)

    def opened(self) -> Solid:
        """The solid itself. Raises KernelError where the bytes hold none."""
        from tractwright.kernel.solid import solid_from_bytes

        return solid_from_bytes(self.data)
