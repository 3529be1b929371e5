"""Each screw's clamp, proof, seat and thread."""

from tractwright.design.records import Design, Screw
from tractwright.job.sheet import JobSheet
from tractwright.standards.clamp import clamp_of, proof_used, seat_pressure_mpa
from tractwright.standards.classes import breaking_load_n, proof_load_n, property_class
from tractwright.standards.engagement import engagement_for_clamp_mm, screw_shear_area_mm2_per_mm, strip_load_n
from tractwright.standards.inserts import WireInsert, wire_insert
from tractwright.standards.materials import Material, material
from tractwright.standards.screws import screw_head, washer
from tractwright.standards.threads import thread as thread_of
from tractwright.strength.records import ScrewLoad


def screw_load(screw: Screw, sheet: JobSheet, design: Design) -> ScrewLoad:
    """The load of one screw. Raises TableError for a thread, class or metal no table holds."""
    thread, grade = screw.thread, screw.property_class
    clamp = clamp_of(thread, screw.torque_nm, sheet.joint.nut_factor)
    outer, inner = seat_ring_mm(screw)
    per_mm = _strip_n_mm(screw, sheet, design)
    held = engagement_mm(screw, sheet)
    return ScrewLoad(
        screw=screw.name,
        joint=screw.joint,
        clamp_low_n=clamp.low_n,
        clamp_stated_n=clamp.stated_n,
        clamp_high_n=clamp.high_n,
        proof_n=proof_load_n(thread, grade),
        proof_used_stated=proof_used(thread, grade, clamp.stated_n),
        proof_used_high=proof_used(thread, grade, clamp.high_n),
        seat_stated_mpa=seat_pressure_mpa(clamp.stated_n, outer, inner),
        seat_high_mpa=seat_pressure_mpa(clamp.high_n, outer, inner),
        seat_limit_mpa=clamped_metal(screw, design).seat_limit_mpa,
        strip_n=per_mm * held,
        engagement_mm=held,
        engagement_needed_mm=breaking_load_n(thread, grade) / per_mm,
        engagement_for_clamp_mm=engagement_for_clamp_mm(per_mm, clamp.high_n),
    )


def insert_of(screw: Screw, sheet: JobSheet) -> WireInsert | None:
    """The wire insert that holds a screw's thread; None where it is cut in the metal itself. Raises TableError."""
    if screw.tapped_in != "engine" or sheet.head.insert_mm is None:
        return None
    return wire_insert(screw.thread, sheet.head.insert_mm)


def engagement_mm(screw: Screw, sheet: JobSheet) -> float:
    """Full thread that carries the screw [mm]: of an insert no more than its own length."""
    insert = insert_of(screw, sheet)
    return screw.engagement_mm if insert is None else min(screw.engagement_mm, insert.assembled_least_mm)


def _strip_n_mm(screw: Screw, sheet: JobSheet, design: Design) -> float:
    """Load that strips the weakest of the threads, for 1 mm of engagement [N/mm]."""
    metal, insert = tapped_metal(screw, sheet, design), insert_of(screw, sheet)
    if insert is None:
        return strip_load_n(screw.thread, screw.property_class, metal.name, 1.0)
    tensile = property_class(screw.property_class).tensile_mpa
    in_screw = 0.6 * tensile * screw_shear_area_mm2_per_mm(thread_of(screw.thread))
    return min(metal.shear_strength_mpa * insert.hole_shear_area_mm2_per_mm, in_screw)


def seat_ring_mm(screw: Screw) -> tuple[float, float]:
    """Outer and inner diameter of the ring that presses on the piece: head or washer, over the clearance hole [mm]."""
    if screw.washer:
        ring = washer(screw.thread, screw.washer)
        return ring.outer_mm, max(screw.clearance_mm, ring.inner_mm)
    head = screw_head(screw.head, screw.thread)
    return head.seat_mm if head.seat_mm is not None else head.plain_across_mm, screw.clearance_mm


def clamped_metal(screw: Screw, design: Design) -> Material:
    """The metal under the head: the joint's piece that the screw is not tapped in."""
    joint = next(item for item in design.joints if item.name == screw.joint)
    ours = {piece.name: piece.material for piece in design.pieces}
    names = [name for name in joint.pieces if name != screw.tapped_in and name in ours]
    return material(ours[names[0]] if names else "cast aluminium")


def tapped_metal(screw: Screw, sheet: JobSheet, design: Design) -> Material:
    """The metal the thread is cut in: a piece's, the head's, or for a throttle body cast aluminium."""
    if screw.tapped_in == "engine":
        return material(sheet.head.material)
    ours = {piece.name: piece.material for piece in design.pieces}
    return material(ours.get(screw.tapped_in, "cast aluminium"))
