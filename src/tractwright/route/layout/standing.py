"""Whose word each number of a description is: the user's, the sheet's, an assumption, or the tool's own."""

from math import isclose

from tractwright.design.file import Held
from tractwright.design.paths import items_by_path
from tractwright.design.records import Design, Standing
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.bosses import boss_name

SAID = {
    ("runner", "length_wanted_mm"): ("runner", "length_mm"),
    ("runner", "wall_mm"): ("runner", "wall_mm"),
    ("runner", "port_blend_mm"): ("runner", "root_blend_mm"),
    ("runner", "mouth_blend_mm"): ("runner", "root_blend_mm"),
    ("runner", "split_blend_mm"): ("runner", "root_blend_mm"),
    ("runner", "mouth.bore_mm"): ("runner", "bore_mm"),
    ("runner", "mouth.lip_radius_mm"): ("runner", "lip_radius_mm"),
    ("plenum", "wall_mm"): ("plenum", "wall_mm"),
    ("plenum", "corner_radius_mm"): ("plenum", "corner_radius_mm"),
    ("plenum", "volume_l"): ("plenum", "volume_l"),
    ("throttle", "bore_mm"): ("throttle", "bore_mm"),
    ("throttle", "neck_mm"): ("throttle", "neck_mm"),
    ("throttle", "place"): ("throttle", "place"),
    ("throttle", "hole_thread"): ("throttle", "hole_thread"),
    ("seal", "section_mm"): ("joint", "cord_mm"),
    ("seal", "material"): ("joint", "seal_material"),
    ("screw", "property_class"): ("joint", "property_class"),
    ("piece", "material"): ("shop", "material"),
    ("spacer", "material"): ("spacer", "material"),
    ("spacer", "thickness_mm"): ("spacer", "thickness_mm"),
}
"""Fields of the description that a key of the sheet says: kind and field, table and key."""
MADE_OF_IT = {("runner", "length_mm"): ("runner", "length_mm")}
"""What is made of a fact that says what is wanted."""
_SAID_OF_BOSS = {
    "station": ("station_mm", "share", "top_at_mm"),
    "clock_deg": ("clock_deg", "top_at_mm"),
    "height_mm": ("height_mm", "top_at_mm"),
    "top_mm": ("top_mm",),
    "blend_mm": ("root_mm",),
    "hole_mm": ("bore_mm",),
    "swing_mm": ("swing_mm",),
    "reach_mm": ("reach_mm",),
}
"""Fields of a boss, and the keys of its table any of which says it."""


def standing(design: Design, sheet: JobSheet, held: Held) -> dict[str, Standing]:
    """Path to standing for every number that is held, a fact of the sheet, or assumed by it; the rest are solved.

    A number that had to depart from the sheet's is solved.
    """
    found: dict[str, Standing] = {}
    for path, item in items_by_path(design).items():
        kind = path.partition(".")[0]
        for (its_kind, field), (table, key) in SAID.items():
            if kind == its_kind:
                part = getattr(sheet, table)
                said = getattr(part, key)
                if said is not None and agrees(_value(item, field), said):
                    found[f"{path}.{field}"] = "fact" if key in part.model_fields_set else "assumed"
    for path in held.held_paths():
        found[path] = "held"
    return found


def is_said_by(sheet: JobSheet, path: str) -> bool:
    """Whether the sheet says a number of the description, whatever was made of it."""
    kind, _, field = path.partition(".")
    if kind == "boss":
        ground, _, number = field.rpartition(".")
        own = [facts for facts in sheet.boss if ground.startswith(boss_name(facts, ""))]
        return any(key in facts.model_fields_set for facts in own for key in _SAID_OF_BOSS.get(number, ()))
    return any(
        kind == its_kind and path.endswith(f".{said}") and key in said_keys(sheet, table)
        for (its_kind, said), (table, key) in (SAID | MADE_OF_IT).items()
    )


def said_keys(sheet: JobSheet, table: str) -> set[str]:
    """The fields of a table that the sheet says; none where it has no such table."""
    part = getattr(sheet, table)
    return set() if part is None else part.model_fields_set


def _value(item: object, field: str) -> object:
    for step in field.split("."):
        item = getattr(item, step)
    return item


def agrees(value: object, said: object) -> bool:
    """Whether a value, or every value of a schedule, is what was said."""
    if isinstance(value, tuple):
        return all(isinstance(pair, tuple) and agrees(pair[1], said) for pair in value)
    if isinstance(value, float) and isinstance(said, int | float):
        return isclose(value, said, rel_tol=1e-9)
    return value == said
