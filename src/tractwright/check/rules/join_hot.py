"""Aluminium grows more than the steel screws through it: warm, they are stretched further."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Screw
from tractwright.standards.materials import material
from tractwright.standards.spacer_materials import spacer_material
from tractwright.standards.threads import thread
from tractwright.strength.records import ScrewLoad
from tractwright.strength.screws import clamped_metal

_COLD_DEGC = 20.0
_PLATES_GIVE = 0.3  # compliance of the clamped metal over that of the screw; judgement
_SCREW_METAL = "steel"


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint: its most loaded screw, tightened cold at the stated nut factor, then as warm as air.wall. Screws
    past their proof load cold are join.proof's to say.
    """
    screws = {screw.name: screw for screw in case.design.screws}
    for joint in dict.fromkeys(load.joint for load in case.loads.screws):
        group = [load for load in case.loads.screws if load.joint == joint and load.proof_used_stated <= 1.0]
        if not group:
            continue
        used = {load.screw: _warm_share(case, screws[load.screw], load) for load in group}
        worst = max(used, key=lambda name: used[name])
        yield Reading(
            subject=f"joint.{joint}",
            measured=used[worst],
            unit="share of proof",
            at_most=1.0,
            broken="look",
            at_mm=screws[worst].seat_mm,
            message=f"At {case.sheet.air.wall_degc:.0f} C the aluminium stretches {worst} past its proof load, and "
            "cold it is slack after that: tighten less, or take a higher class.",
        )


def _warm_share(case: Case, screw: Screw, load: ScrewLoad) -> float:
    """The clamp once warm, as a share of the proof load."""
    steel = material(_SCREW_METAL)
    differs = _clamped_expansion(case, screw) - steel.expansion_per_k
    strain = differs * (case.sheet.air.wall_degc - _COLD_DEGC) / (1.0 + _PLATES_GIVE)
    return (load.clamp_stated_n + strain * steel.modulus_mpa * thread(screw.thread).stress_area_mm2) / load.proof_n


def _clamped_expansion(case: Case, screw: Screw) -> float:
    """Of what a screw clamps [1/K]: the metal, and an insulating spacer by its share of the thickness."""
    metal = clamped_metal(screw, case.design).expansion_per_k
    grown, thick = metal * screw.grip_mm, screw.grip_mm
    for spacer in case.design.spacers:
        if spacer.joint == screw.joint:
            grown += spacer_material(spacer.material).expansion_through_per_k * spacer.thickness_mm
            thick += spacer.thickness_mm
    return grown / thick


RULE = Rule(
    id="join.hot",
    question="Do the screws bear it that warm aluminium stretches them?",
    limit="the proof load, tightened at 20 C and then as warm as air.wall of the sheet; the clamped metal gives 0.3 "
    "of what the screw gives (judgement)",
    cure="less torque, or a higher class",
    bites_at="join",
    needs="description",
    source="aluminium_typical",
    judge=judge,
)
