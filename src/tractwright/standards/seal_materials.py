"""Which seal materials bear which liquids: yes, no, or ask their maker. From memory: shown unverified, never chosen by."""

from typing import Literal

from tractwright.errors import TableError
from tractwright.standards.tables import row

Bears = Literal["yes", "no", "ask"]


def is_listed(material: str) -> bool:
    """Whether the table holds a material."""
    try:
        row("seal_materials", name=material.strip().upper())
    except TableError:
        return False
    return True


def bears(material: str, liquid: str) -> Bears:
    """Whether a material bears 'petrol', 'ethanol', 'methanol' or 'water'; 'ask' for one that the table does not hold.

    Raises TableError for a liquid without a column.
    """
    if not is_listed(material):
        return "ask"
    found = row("seal_materials", name=material.strip().upper())
    word = found.text(liquid)
    return "yes" if word == "yes" else "no" if word == "no" else "ask"
