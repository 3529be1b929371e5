"""The head piece: head flange, runners with their root blends, mouth flange, standoffs, pockets, screw and dowel holes."""

from dataclasses import replace

from tractwright.design.records import Design, Piece
from tractwright.errors import KernelError
from tractwright.kernel.checked import Checked, cut
from tractwright.kernel.mesh import Meshed
from tractwright.kernel.twins import joined
from tractwright.shape.blends import roots_made
from tractwright.shape.bosses import BossRoot, WithBosses, holed, rough_bosses, with_bosses
from tractwright.shape.finish import Blends, finely_meshed, finished, only_twin
from tractwright.shape.head_body import LADDER, HeadPlan, Rung, head_body, head_plan
from tractwright.shape.head_bosses import boss_stands
from tractwright.shape.head_forms import HeadForms, head_forms
from tractwright.shape.head_roots import wanted_roots
from tractwright.shape.head_twin import head_twin, seat_notes
from tractwright.shape.parts.channels import channel_cutters
from tractwright.shape.parts.grooves import flange_pockets, seal_grooves
from tractwright.shape.parts.holes import dowel_holes, screw_holes
from tractwright.shape.records import BuiltPiece

KIND = "head"


def build(piece: Piece, design: Design) -> BuiltPiece:
    """The head piece as an exact solid, or as its mesh twin where every rung of the ladder fails.

    A solid whose triangles do not close is taken only where no rung gives one whose do.
    """
    forms = head_forms(piece, design)
    twin = head_twin(forms)
    plan = head_plan(forms, twin)
    cutters = [
        ("seal grooves", seal_grooves(piece.name, design)),
        ("pockets", flange_pockets(piece.name, design)),
        *channel_cutters(piece.name, design),
        ("holes", [*screw_holes(piece.name, design), *dowel_holes(piece.name, design)]),
    ]
    notes = seat_notes(twin, forms)
    faults: list[KernelError] = []
    leaking: list[tuple[BuiltPiece, Meshed, tuple[BossRoot, ...]]] = []
    for rung in LADDER:
        try:
            found = _built(plan, rung, cutters)
            fine = finely_meshed(found.body)
            built = finished(piece, found.body, fine, Blends(), (*notes, *found.notes))
            built = replace(built, left_out=found.left_out)
            if built.watertight:
                return _with_blends(built, fine, forms, found.roots)
            leaking.append((built, fine, found.roots))
        except KernelError as fault:
            faults.append(fault)
    if leaking:
        built, fine, roots = leaking[0]
        return _with_blends(built, fine, forms, roots)
    whole = twin.whole(range(len(forms.plates)), range(len(forms.courses)), range(len(forms.posts)))
    whole = rough_bosses(whole, boss_stands(plan, LADDER[0]))
    away = [tool.twin for _, tools in cutters for tool in tools]
    return only_twin(piece, whole - joined(away) if away else whole, faults[0], Blends(), notes)


def _built(plan: HeadPlan, rung: Rung, cutters: list[tuple[str, list[Checked]]]) -> WithBosses:
    stands = boss_stands(plan, rung)
    found = with_bosses(head_body(plan, rung), stands)
    body = holed(found.body, [stand.boss for stand in stands if stand.boss.name not in found.left_out])
    for step, tools in cutters:
        body = cut(body, tools, step)
    return replace(found, body=body)


def _with_blends(built: BuiltPiece, fine: Meshed, forms: HeadForms, bosses: tuple[BossRoot, ...]) -> BuiltPiece:
    """Root and foot blends counted."""
    roots = [*wanted_roots(forms), *bosses]
    made = roots_made(fine, roots)
    return replace(built, blends_wanted=len(roots) + len(built.left_out), blends_made=made)
