"""The description as this run wrote it: what a later edit is told apart from."""

from collections.abc import Mapping

from tractwright.design.file import design_text
from tractwright.packet.contents import Contents


def write(contents: Contents) -> Mapping[str, bytes]:
    """design.toml, without the user's comments."""
    return {"design.toml": design_text(contents.case.design).encode()}
