"""What a held value of the description can be at all: sizes above nothing, names that the tables hold, schedules in order."""

from itertools import pairwise
from typing import Any, Final

from tractwright.design.leaves import Leaf
from tractwright.errors import Fault, TableError
from tractwright.standards.classes import property_class
from tractwright.standards.cords import cord_sections
from tractwright.standards.materials import material
from tractwright.standards.spacer_materials import spacer_material
from tractwright.standards.threads import thread

_MAY_BE_NOTHING: Final = {
    ("screw", "torque_nm"),
    ("screw", "counterbore_mm"),
    ("screw", "slot_mm"),
    ("screw", "engagement_mm"),
    ("seal", "groove_width_mm"),
    ("seal", "groove_depth_mm"),
    ("seal", "length_mm"),
    ("runner", "port_blend_mm"),
    ("runner", "mouth_blend_mm"),
    ("boss", "thread_mm"),
    ("boss", "swing_mm"),
    ("boss", "reach_mm"),
    ("bank", "spacer_mm"),
    ("channel", "height_mm"),
    ("channel", "post_mm"),
    ("channel", "edge_mm"),
    ("channel", "level_mm"),
}
_MAY_BE_LESS: Final = {("screw", "standoff_mm")}
_SIZES: Final = ("_mm", "_nm", "_l")
_SCHEDULES: Final = ("area_mm2", "wall_mm")
_NAMED: Final = {
    ("screw", "property_class"): property_class,
    ("screw", "thread"): thread,
    ("throttle", "hole_thread"): thread,
    ("piece", "material"): material,
    ("spacer", "material"): spacer_material,
    ("head_hole", "thread"): thread,
}


def impossible(leaf: Leaf) -> Fault | None:
    """The fault of a value that no manifold can have; None where it may be."""
    accepted = _accepted(leaf)
    return Fault(key=leaf.path, given=str(leaf.value), accepted=accepted, line=leaf.line) if accepted else None


def _accepted(leaf: Leaf) -> str:
    """What would be accepted instead; '' for a value that may be."""
    place = (leaf.kind, leaf.field)
    if place in _NAMED:
        return _unless_held(place, leaf.value)
    if place == ("seal", "section_mm"):
        known = cord_sections()
        near = min(abs(section - leaf.value) for section in known) < 1e-6
        return "" if near or leaf.name.startswith("head") else _listed(known)
    if leaf.kind == "runner" and leaf.field in _SCHEDULES:
        return _unless_schedule(leaf.value)
    if not isinstance(leaf.value, float) or not leaf.field.endswith(_SIZES) or place in _MAY_BE_LESS:
        return ""
    if place in _MAY_BE_NOTHING:
        return "" if leaf.value >= 0.0 else "a number not below 0"
    return "" if leaf.value > 0.0 else "a number above 0"


def _unless_held(place: tuple[str, str], name: str) -> str:
    try:
        _NAMED[place](name)
    except TableError as fault:
        return f"a name in the tables: {', '.join(fault.accepted)}"
    return ""


def _unless_schedule(value: Any) -> str:
    """A schedule's places rise from 0 to 1, and its values are above nothing."""
    places = [place for place, _ in value]
    rising = len(places) > 1 and all(a < b for a, b in pairwise(places))
    if not rising or places[0] != 0.0 or places[-1] != 1.0:
        return "pairs [place, value] whose places rise from 0 to 1"
    return "" if all(number > 0.0 for _, number in value) else "values above 0"


def _listed(known: tuple[float, ...]) -> str:
    return "a section in the tables: " + ", ".join(f"{section:g}" for section in known) + " mm"
