"""summary.json: the whole job for programs, by the schema in the package."""

import math
from typing import Any

import numpy as np

import tractwright
from tractwright.check.case import Case
from tractwright.check.finding import Finding
from tractwright.check.measures import bends, neighbour_gaps, room_along
from tractwright.design.channel import Channel
from tractwright.design.channel_space import end_mm
from tractwright.design.records import Joint, Runner, Screw
from tractwright.design.spacer_space import spacer_name
from tractwright.make.records import MakingPlan
from tractwright.packet.contents import Contents
from tractwright.packet.paper.words import in_one_line
from tractwright.shape.records import BuiltPiece
from tractwright.strength.records import SpacerLoad

SCHEMA = "tractwright-summary-1"


def summary(contents: Contents, files: list[dict[str, str]]) -> dict[str, Any]:
    """The record of a job. files : path and sha256 of everything else in the packet."""
    case = contents.case
    return plain(
        {
            "schema": SCHEMA,
            "job": case.sheet.job.name,
            "version": tractwright.__version__,
            "inputs_sha256": contents.inputs_sha256,
            "outcome": contents.outcome,
            "assumed": [
                {"key": item.key, "value": item.value, "why": item.why, "weight": item.weight}
                for item in contents.assumed
            ],
            "air": _air(case),
            "plena": [{"name": p.name, "bank": p.bank, "volume_l": p.volume_l} for p in case.design.plena],
            "throttles": [{"name": t.name, "plenum": t.plenum, "bore_mm": t.bore_mm} for t in case.design.throttles],
            "runners": _runners(case),
            "passages": _passages(case.plan),
            "pieces": [_piece(piece, case) for piece in case.pieces or ()],
            "spacers": [_spacer(load, case) for load in case.loads.spacers],
            "channels": [_channel(channel) for channel in case.design.channels],
            "joints": [_joint(joint, case) for joint in case.design.joints],
            "screws": [_screw(screw, contents) for screw in case.design.screws],
            "findings": [_finding(finding) for finding in contents.findings],
            "changes": [
                {"rule": change.rule, "what": change.what, "from": change.before, "to": change.after}
                for change in contents.changes
            ],
            "contradictions": [
                {"demands": list(item.demands), "best_found": item.best_found} for item in contents.contradictions
            ],
            "setups": _setups(case.plan),
            "price": _price(case.plan),
            "files": files,
        }
    )


def _air(case: Case) -> dict[str, Any]:
    breathing = case.breathing
    if breathing is None:
        return {"rpm": [], "delivered_ve": [], "trapped_ve": [], "torque_Nm": [], "power_kW": []}
    return {
        "rpm": breathing.rpm,
        "delivered_ve": breathing.delivered_ve,
        "trapped_ve": breathing.trapped_ve,
        "torque_Nm": breathing.torque_nm,
        "power_kW": breathing.power_kw,
    }


def _runners(case: Case) -> list[dict[str, Any]]:
    gaps = neighbour_gaps(case)
    return [_runner(runner, case, gaps) for runner in case.design.runners]


def _runner(runner: Runner, case: Case, gaps: dict[tuple[str, str], tuple[float, Any]]) -> dict[str, Any]:
    model = case.tubes[runner.name]
    neighbours = [gap for pair, (gap, _) in gaps.items() if runner.name in pair]
    others = [r.mouth.at_mm for r in case.design.runners if r.mouth.plenum == runner.mouth.plenum and r != runner]
    nearest = min((math.dist(runner.mouth.at_mm, other) for other in others), default=math.inf)
    return {
        "name": runner.name,
        "bank": runner.bank,
        "ports": runner.ports,
        "plenum": runner.mouth.plenum,
        "length_mm": runner.length_mm,
        "length_wanted_mm": runner.length_wanted_mm,
        "room_clearance_mm": float(room_along(case, runner, case.room).min()),
        "neighbour_gap_mm": min(neighbours, default=None),
        "least_wall_mm": float(model.wall_mm.min()),
        "least_bend_radius_mm": float(bends(model)[0].min()),
        "area_mm2": [float(model.area_mm2[0]), float(model.area_mm2[-1])],
        "lip_room_mm": (nearest - runner.mouth.bore_mm) / 2 - runner.mouth.lip_radius_mm,
    }


def _passages(plan: MakingPlan | None) -> list[dict[str, Any]]:
    return [
        {
            "piece": p.piece,
            "runner": p.runner,
            "verdict": p.verdict,
            "split_at_mm": p.split_at_mm,
            "meeting_line_mm": p.meeting_line_mm,
            "reach_from_port_end_mm": p.reach_from_port_end_mm,
            "reach_from_mouth_end_mm": p.reach_from_mouth_end_mm,
            "ledge_mm": p.ledge_mm,
        }
        for p in (plan.passages if plan else ())
    ]


def _piece(piece: BuiltPiece, case: Case) -> dict[str, Any]:
    record = next(item for item in case.design.pieces if item.name == piece.name)
    stock = next((s for s in case.plan.stocks if s.piece == piece.name), None) if case.plan else None
    return {
        "name": piece.name,
        "kind": piece.kind,
        "own": bool(record.own),
        "material": record.material,
        "step_file": f"{piece.name}.step" if piece.solid is not None else None,
        "valid": piece.valid,
        "watertight": piece.watertight,
        "solids": piece.solids,
        "volume_mm3": piece.volume_mm3,
        "mass_kg": piece.mass_kg,
        "mass_before_kg": stock.mass_kg if stock else None,
        "least_wall_mm": _least_wall(piece, case),
        "stock_mm": stock.size_mm if stock else None,
        "blends_wanted": piece.blends_wanted,
        "blends_made": piece.blends_made,
        "rung": piece.rung,
        "fallback": piece.fallback,
    }


def _least_wall(piece: BuiltPiece, case: Case) -> float | None:
    if piece.kind in ("head", "middle"):
        return float(min(model.wall_mm.min() for model in case.tubes.values()))
    if piece.kind == "plenum":
        return min(plenum.wall_mm for plenum in case.design.plena)
    return None


def _joint(joint: Joint, case: Case) -> dict[str, Any]:
    load = next((item for item in case.loads.joints if item.joint == joint.name), None)
    seal = next((item for item in case.loads.seals if item.joint == joint.name), None)
    return {
        "name": joint.name,
        "pieces": joint.pieces,
        "screws": [screw.name for screw in case.design.screws if screw.joint == joint.name],
        "seal": None
        if seal is None
        else {
            "section_mm": seal.section_mm,
            "squeeze": seal.squeeze,
            "fill_nominal": seal.fill_nominal,
            "fill_worst": seal.fill_worst,
        },
        "separation_factor": load.separation_factor if load else None,
    }


def _channel(channel: Channel) -> dict[str, Any]:
    return {
        "name": channel.name,
        "joint": channel.joint,
        "fluid": channel.fluid,
        "place": channel.place,
        "at_mm": channel.at_mm,
        "port_mm": channel.port_mm if channel.place == "out" else end_mm(channel),
        "recess_mm": channel.recess_mm,
        "bore_mm": channel.bore_mm,
        "thread": channel.thread,
        "plug": channel.plug or None,
    }


def _spacer(load: SpacerLoad, case: Case) -> dict[str, Any]:
    record = next(item for item in case.design.spacers if item.name == load.spacer)
    built = next((item for item in case.spacers if item.name == load.spacer), None)
    return {
        "name": load.spacer,
        "joint": load.joint,
        "material": record.material,
        "thickness_mm": record.thickness_mm,
        "step_file": f"hand_off/{spacer_name(load.spacer)}.step" if built and built.solid is not None else None,
        "volume_mm3": built.volume_mm3 if built else None,
        "mass_kg": load.mass_kg,
        "pressure_MPa": load.pressure_mpa,
        "passes_W_K": load.passes_w_k,
        "passes_without_W_K": load.bare_w_k,
    }


def _screw(screw: Screw, contents: Contents) -> dict[str, Any]:
    measured = {
        finding.rule: finding.measured
        for finding in contents.findings
        if f"screw.{screw.name}" in finding.subject.split("+")
    }
    return {
        "name": screw.name,
        "joint": screw.joint,
        "at_mm": screw.seat_mm,
        "thread": screw.thread,
        "property_class": screw.property_class,
        "head": screw.head,
        "washer": screw.washer,
        "length_mm": screw.length_mm,
        "engagement_mm": screw.engagement_mm,
        "standoff_mm": screw.standoff_mm,
        "screw_head_clearance_mm": measured.get("join.head_room"),
        "key_clearance_mm": measured.get("join.key_room"),
        "torque_Nm": screw.torque_nm,
        "torque_from": screw.torque_from,
        "seat_pressure_MPa": measured.get("join.seat_pressure"),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "id": finding.id,
        "rule": finding.rule,
        "subject": finding.subject,
        "at_mm": finding.at_mm,
        "measured": finding.measured,
        "limit": finding.limit,
        "unit": finding.unit,
        "margin": finding.margin,
        "verdict": finding.verdict,
        "bites_at": finding.bites_at,
        "message": in_one_line(finding),
        "source": finding.source,
        "fix": None
        if finding.fix is None
        else {"path": finding.fix.path, "to": finding.fix.value, "what": finding.fix.what},
    }


def _setups(plan: MakingPlan | None) -> list[dict[str, Any]]:
    return [
        {
            "name": s.name,
            "piece": s.piece,
            "machine": s.machine,
            "direction": s.direction,
            "holds_by": s.holds_by,
            "needs": s.needs,
            "makes": s.makes,
            "reaches_fraction": s.reaches_fraction,
            "tools": s.tools,
            "minutes": s.minutes,
        }
        for s in (plan.setups if plan else ())
    ]


def _price(plan: MakingPlan | None) -> dict[str, Any]:
    if plan is None:
        return {"currency": "", "lines": [], "alternatives": []}
    lines = [{"what": line.what, "low": line.low, "high": line.high} for line in plan.price]
    others = [
        {
            "what": one.what,
            "low": one.low,
            "high": one.high,
            "hours": one.effort.mill_h,
            "stock_kg": one.effort.stock_kg,
            "how": one.how,
        }
        for one in plan.alternatives
    ]
    return {"currency": plan.currency, "lines": lines, "alternatives": others}


def plain(value: Any) -> Any:
    """Plain lists, floats rounded to what is meant; what is not finite becomes null."""
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple | np.ndarray):
        return [plain(item) for item in value]
    if isinstance(value, float | np.floating):
        return round(float(value), 6) if math.isfinite(value) else None
    return int(value) if isinstance(value, np.integer) else value
