"""What is added to a description that is otherwise whole: slots, pockets, bosses."""

from dataclasses import replace

from tractwright.design.file import Held
from tractwright.design.records import Design
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.bosses import bosses
from tractwright.route.layout.pockets import pockets
from tractwright.route.layout.slots import slotted


def fitted_out(design: Design, sheet: JobSheet, held: Held) -> Design:
    """The description with what the sheet asks for beside runners, joints and screws. Raises TableError."""
    design = replace(design, screws=slotted(design, sheet, held))
    return replace(design, pockets=pockets(design, sheet), bosses=bosses(design, sheet, held))
