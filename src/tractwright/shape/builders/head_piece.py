"""The head piece: head flange, runners with their root blends, mouth flange, standoffs, screw and dowel holes.

Everything that keeps clear of everything else is sewn face by face, without a boolean: runners, posts, holes. What runs
into something else is joined and cut by checked booleans, in the order in which they have been found to work: posts,
runners, passages one by one, holes.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tractwright.design.records import Design, Piece
from tractwright.errors import KernelError
from tractwright.kernel.checked import Checked, cut, fused
from tractwright.kernel.measure import volume
from tractwright.kernel.primitives import revolve
from tractwright.kernel.skins import skin_solid
from tractwright.kernel.tubular import Tube, Turned, tubular_body
from tractwright.kernel.twins import twin_of_revolution, twin_of_tube
from tractwright.shape.finish import Blends, finished, only_twin
from tractwright.shape.head_forms import HeadForms, Placed, head_forms, rows
from tractwright.shape.head_twin import (
    HeadTwin,
    bore_profile,
    clear_courses,
    clear_placed,
    head_twin,
)
from tractwright.shape.records import BuiltPiece
from tractwright.shape.roots import Sampling
from tractwright.shape.turned import post_body, profile, rings

KIND = "head"

_BEYOND_MM = 3.0
_SEWN_SHARE = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One attempt: the sampling of sewn skins, that of skins joined by booleans, and whether everything is joined so."""

    name: str
    sewn: Sampling
    joined: Sampling
    all_joined: bool = False


_LADDER = (
    Rung(name="", sewn=Sampling(), joined=Sampling(crease_deg=25.0, sink_mm=0.06)),
    Rung(
        name="finer skins",
        sewn=Sampling(angles=80, arc_rows=10, middle_rows=30),
        joined=Sampling(angles=80, arc_rows=9, middle_rows=30, crease_deg=20.0, sink_mm=0.08),
    ),
    Rung(
        name="coarser skins",
        sewn=Sampling(angles=56, arc_rows=7, middle_rows=18),
        joined=Sampling(angles=56, arc_rows=6, middle_rows=18, crease_deg=32.0, sink_mm=0.12),
    ),
    Rung(name="all joined", sewn=Sampling(), joined=Sampling(crease_deg=25.0, sink_mm=0.06), all_joined=True),
    Rung(
        name="all joined, finer",
        sewn=Sampling(),
        joined=Sampling(angles=72, middle_rows=34, crease_deg=30.0, sink_mm=0.1),
        all_joined=True,
    ),
)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Plan:
    """The parts, their meshes, and which are sewn: runners, posts and holes by place in the forms."""

    forms: HeadForms
    twin: HeadTwin
    courses: tuple[int, ...]
    placed: tuple[int, ...]


def build(piece: Piece, design: Design) -> BuiltPiece:
    """The head piece as an exact solid, or as its mesh twin where every rung of the ladder fails."""
    forms = head_forms(piece, design)
    twin = head_twin(forms)
    plan = _Plan(forms=forms, twin=twin, courses=clear_courses(twin, forms), placed=clear_placed(twin, forms))
    faults: list[KernelError] = []
    for rung in _LADDER:
        try:
            return finished(piece, _body(plan, rung), Blends())
        except KernelError as fault:
            faults.append(fault)
    everything = range(len(forms.courses)), range(len(forms.placed)), range(len(forms.plates))
    return only_twin(piece, twin.whole(*everything), faults[0], Blends())


def _body(plan: _Plan, rung: Rung) -> Checked:
    """The whole piece on one rung. Raises KernelError."""
    sewn_courses = () if rung.all_joined else plan.courses
    loose_courses = [i for i in range(len(plan.forms.courses)) if i not in sewn_courses]
    loose_placed = [i for i in range(len(plan.forms.placed)) if i not in plan.placed]
    groups = _plate_groups(plan.forms, sewn_courses)
    bodies = [_sewn(plan, rung, group, sewn_courses) for group in groups]
    body = fused(bodies[0], _posts(plan, loose_placed), "joining posts")
    body = _with_runners(plan, rung, body, bodies[1:], loose_courses)
    holes = [_bore(plan, plan.forms.placed[i], i) for i in loose_placed]
    body = cut(body, holes, "cutting holes")
    return Checked(solid=body.solid, twin=body.twin, rungs=((rung.name, *body.rungs) if rung.name else body.rungs))


def _plate_groups(forms: HeadForms, courses: Sequence[int]) -> list[tuple[int, ...]]:
    """Plates that sewn runners hold together, the head flange's group first."""
    groups = [{plate} for plate in range(len(forms.plates))]
    for i in courses:
        first, last = (next(group for group in groups if end in group) for end in forms.courses[i].ends)
        if first is not last:
            first |= last
            groups.remove(last)
    start = forms.courses[0].ends[0]
    return sorted((tuple(sorted(group)) for group in groups), key=lambda group: start not in group)


def _sewn(plan: _Plan, rung: Rung, plates: tuple[int, ...], courses: Sequence[int]) -> Checked:
    """Plates with the runners, posts and holes that keep clear, sewn. Raises KernelError where the twin disagrees."""
    forms = plan.forms
    here = [i for i in courses if forms.courses[i].ends[0] in plates]
    placed = [i for i in plan.placed if forms.placed[i].plate in plates]
    skins = rows(forms, rung.sewn) if here else ()
    place = {plate: k for k, plate in enumerate(plates)}
    tubes = [
        Tube(
            first=place[forms.courses[i].ends[0]],
            last=place[forms.courses[i].ends[1]],
            outer_mm=skins[i].outer_mm,
            inner_mm=skins[i].inner_mm,
        )
        for i in here
    ]
    turned = [_turned(forms, forms.placed[i], place) for i in placed]
    solid = tubular_body([forms.plates[k] for k in plates], tubes, turned, "sewing the head piece")
    twin = plan.twin.whole(here, placed, plates)
    off = abs(volume(solid) - twin.volume())
    if off > _SEWN_SHARE * twin.volume():
        raise KernelError("sewing the head piece", f"its parts run into one another: {off:.0f} mm3 counted twice")
    return Checked(solid=solid, twin=twin)


def _turned(forms: HeadForms, item: Placed, place: dict[int, int]) -> Turned:
    thickness = forms.flanges[item.plate].thickness_mm
    near, far = rings(item.hole, thickness, item.foot_mm)
    chain = profile(item.hole, thickness, item.foot_mm)
    return Turned(plate=place[item.plate], at_mm=item.hole.at_mm, profile=chain, near_mm=near, far_mm=far)


def _posts(plan: _Plan, loose: Sequence[int]) -> list[Checked]:
    """Posts that run into something, their feet sunk so that the face cuts them at an angle."""
    found: list[Checked] = []
    for i in loose:
        item = plan.forms.placed[i]
        if item.hole.post_mm > 0.0:
            flange = plan.forms.flanges[item.plate]
            drop = item.foot_mm * (1.0 - np.cos(np.radians(25.0))) + 0.06
            outline = post_body(item.hole, flange.thickness_mm - drop, item.foot_mm, 2.0)
            frame = flange.frame.moved((*item.hole.at_mm, 0.0))
            found.append(Checked(solid=revolve(outline, frame), twin=twin_of_revolution(outline, frame)))
    return found


def _with_runners(plan: _Plan, rung: Rung, body: Checked, others: list[Checked], loose: Sequence[int]) -> Checked:
    """Runners that run into something joined one by one, then the other plates, then their passages cut one by one."""
    if not loose:
        return body
    forms = plan.forms
    skins = rows(forms, rung.joined, _BEYOND_MM)
    for i in (*loose[::2], *loose[1::2]):
        name = forms.courses[i].runner.name
        skin = Checked(solid=skin_solid(skins[i].outer_mm), twin=twin_of_tube(skins[i].outer_mm))
        body = fused(body, [skin], f"joining runner {name}")
    for other in others:
        body = fused(body, [other], "joining a flange")
    for i in loose:
        passage = Checked(solid=skin_solid(skins[i].inner_mm), twin=plan.twin.inner[i])
        body = cut(body, [passage], f"cutting passage {forms.courses[i].runner.name}")
    return body


def _bore(plan: _Plan, item: Placed, index: int) -> Checked:
    flange = plan.forms.flanges[item.plate]
    frame = flange.frame.moved((*item.hole.at_mm, 0.0))
    return Checked(solid=revolve(bore_profile(item, flange.thickness_mm), frame), twin=plan.twin.bores[index])
