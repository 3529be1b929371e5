"""The insulating spacer against the rest of the sheet."""

from collections.abc import Iterator

from tractwright.job.cross_check import CrossCheck, CrossFault
from tractwright.job.sheet import JobSheet, places_ports
from tractwright.standards.spacer_materials import spacer_materials


def material_known(sheet: JobSheet) -> Iterator[CrossFault]:
    """What a spacer is cut from is in the table."""
    if sheet.spacer is not None and sheet.spacer.material not in spacer_materials():
        yield ("spacer", "material"), f'"{sheet.spacer.material}"', f"one of {', '.join(spacer_materials())}"


def under_own_piece(sheet: JobSheet) -> Iterator[CrossFault]:
    """Under a head piece drawn already: its ports are placed on the head's, which the sheet knows."""
    if sheet.spacer is None or not sheet.piece:
        return
    if not places_ports(sheet) or any(piece.placed == "as drawn" for piece in sheet.piece):
        accepted = 'none; or [pattern], [scan] or [[gasket]] that place the ports and a [[piece]] placed "by its ports"'
        yield ("spacer",), "a spacer under a piece that places the head itself", accepted


CHECKS = (
    CrossCheck(("spacer.material",), material_known),
    CrossCheck(("spacer", "piece.placed", "pattern", "scan", "gasket"), under_own_piece),
)
