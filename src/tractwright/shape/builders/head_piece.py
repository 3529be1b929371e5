"""The head piece: head flange, runners with their root blends, mouth flange, standoffs, pockets, screw and dowel holes."""

from dataclasses import replace

from tractwright.design.records import Design, Piece
from tractwright.errors import KernelError
from tractwright.kernel.checked import Checked, cut
from tractwright.kernel.mesh import tessellate_near
from tractwright.kernel.twins import joined
from tractwright.shape.blends import sinks, surroundings
from tractwright.shape.finish import Blends, finished, only_twin
from tractwright.shape.head_body import LADDER, HeadPlan, Rung, head_body, head_plan
from tractwright.shape.head_forms import HeadForms, head_forms
from tractwright.shape.head_roots import wanted_roots
from tractwright.shape.head_twin import head_twin, seat_notes
from tractwright.shape.parts.grooves import flange_pockets, seal_grooves
from tractwright.shape.parts.holes import dowel_holes, screw_holes
from tractwright.shape.records import BuiltPiece

KIND = "head"

_FINE_CHORD_MM = 0.02
_FINE_ANGLE_RAD = 0.1


def build(piece: Piece, design: Design) -> BuiltPiece:
    """The head piece as an exact solid, or as its mesh twin where every rung of the ladder fails."""
    forms = head_forms(piece, design)
    twin = head_twin(forms)
    plan = head_plan(forms, twin)
    cutters = [
        ("seal grooves", seal_grooves(piece.name, design)),
        ("pockets", flange_pockets(piece.name, design)),
        ("holes", [*screw_holes(piece.name, design), *dowel_holes(piece.name, design)]),
    ]
    notes = (*seat_notes(twin, forms), *_bosses_left_out(forms))
    faults: list[KernelError] = []
    for rung in LADDER:
        try:
            body = _built(plan, rung, cutters)
            return _with_blends(finished(piece, body, Blends(), notes), body, forms)
        except KernelError as fault:
            faults.append(fault)
    whole = twin.whole(range(len(forms.plates)), range(len(forms.courses)), range(len(forms.posts)))
    away = [tool.twin for _, tools in cutters for tool in tools]
    return only_twin(piece, whole - joined(away) if away else whole, faults[0], Blends(), notes)


def _built(plan: HeadPlan, rung: Rung, cutters: list[tuple[str, list[Checked]]]) -> Checked:
    body = head_body(plan, rung)
    for step, tools in cutters:
        body = cut(body, tools, step)
    return body


def _with_blends(built: BuiltPiece, body: Checked, forms: HeadForms) -> BuiltPiece:
    """Root and foot blends counted on the finished mesh; those that look too tight there, once more on a finer one."""
    roots = wanted_roots(forms)
    doubtful = [root for root, sink in zip(roots, sinks(built.mesh, roots), strict=True) if sink > 0.0]
    places = [surroundings(root) for root in doubtful]
    missed = sinks(tessellate_near(body.solid, places, _FINE_CHORD_MM, _FINE_ANGLE_RAD), doubtful) if doubtful else []
    return replace(built, blends_wanted=len(roots), blends_made=len(roots) - sum(sink > 0.0 for sink in missed))


def _bosses_left_out(forms: HeadForms) -> tuple[str, ...]:
    """Bosses are not built: each that stands on one of the runners is named."""
    own = {course.runner.name for course in forms.courses}
    return tuple(f"{boss.name}: its boss is not on the solid" for boss in forms.design.bosses if boss.runner in own)
