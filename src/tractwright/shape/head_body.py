"""The exact body of a head piece, on one rung of its ladder.

What keeps clear of everything else is sewn face by face, without a boolean. What runs into something else is joined and
cut by checked booleans, in the order that has been found to work: posts, runners, other flanges, passages one by one.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, radians

from tractwright.errors import KernelError
from tractwright.kernel.checked import Checked, checked, cut, fused
from tractwright.kernel.measure import volume
from tractwright.kernel.primitives import revolve
from tractwright.kernel.skins import skin_solid
from tractwright.kernel.tubular import Post, Tube, tubular_body
from tractwright.kernel.twins import twin_of_revolution
from tractwright.shape.head_forms import HeadForms, rows
from tractwright.shape.head_twin import BEYOND_MM, HeadTwin, clear_courses, clear_posts, post_frame
from tractwright.shape.roots import Sampling
from tractwright.shape.seats import post_body, post_profile

_SEWN_SHARE = 1e-3
_JOINED_SHARE = 0.01
"""Joined blends end at a crease a little over the face: so much less metal than the tangent ones of the twin."""
_FOOT_SUNK_MM = 0.06
_UNDER_MM = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One attempt: sampling of sewn skins, sampling of joined ones, whether runners are joined though they are clear."""

    name: str
    sewn: Sampling
    joined: Sampling
    all_joined: bool = False


LADDER = (
    Rung(name="", sewn=Sampling(), joined=Sampling(angles=112, crease_deg=2.5, sink_mm=0.006)),
    Rung(
        name="finer skins",
        sewn=Sampling(angles=80, arc_rows=10, middle_rows=30),
        joined=Sampling(angles=128, arc_rows=10, middle_rows=30, crease_deg=3.5, sink_mm=0.01),
    ),
    Rung(
        name="coarser skins, blends with a crease",
        sewn=Sampling(angles=56, arc_rows=7, middle_rows=18),
        joined=Sampling(angles=80, arc_rows=7, middle_rows=18, crease_deg=12.0, sink_mm=0.03),
    ),
    Rung(
        name="all joined, blends with a sharper crease",
        sewn=Sampling(),
        joined=Sampling(angles=72, middle_rows=34, crease_deg=25.0, sink_mm=0.06),
        all_joined=True,
    ),
)
"""From blends that run into the face all but tangent to such as cross it at an angle: the less tangent, the surer a
boolean; and the skins through other points each time, for what fails on one set seldom fails on the next."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class HeadPlan:
    """The parts, their meshes, and which of them keep clear: runners and posts by place in the forms."""

    forms: HeadForms
    twin: HeadTwin
    clear_courses: tuple[int, ...]
    clear_posts: tuple[int, ...]


def head_plan(forms: HeadForms, twin: HeadTwin) -> HeadPlan:
    """Parts sorted into those that are sewn and those that are joined."""
    return HeadPlan(
        forms=forms,
        twin=twin,
        clear_courses=clear_courses(twin, forms),
        clear_posts=clear_posts(twin, forms),
    )


def head_body(plan: HeadPlan, rung: Rung) -> Checked:
    """Flanges, runners with their passages, and posts, without holes. Raises KernelError."""
    forms = plan.forms
    sewn = () if rung.all_joined else plan.clear_courses
    loose = [i for i in range(len(forms.courses)) if i not in sewn]
    bodies = [_sewn(plan, rung, plates, sewn) for plates in _plate_groups(forms, sewn)]
    posts = [i for i in range(len(forms.posts)) if i not in plan.clear_posts]
    whole = _with_runners(plan, rung, bodies, loose)
    whole = fused(whole, [_post(plan, i) for i in posts], "joining posts")
    whole = _with_passages(plan, rung, whole, loose)
    wanted = plan.twin.whole(*(range(len(parts)) for parts in (forms.plates, forms.courses, forms.posts))).volume()
    if abs(volume(whole.solid) - wanted) > _JOINED_SHARE * wanted:
        raise KernelError("joining the head piece", f"{volume(whole.solid):.0f} mm3 came out, not {wanted:.0f}")
    return replace(whole, rungs=(rung.name, *whole.rungs)) if rung.name else whole


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


def _sewn(plan: HeadPlan, rung: Rung, plates: tuple[int, ...], courses: Sequence[int]) -> Checked:
    """Plates with the runners and posts that keep clear, sewn. Raises KernelError where the twin disagrees."""
    forms = plan.forms
    here = [i for i in courses if forms.courses[i].ends[0] in plates]
    posts = [i for i in plan.clear_posts if forms.posts[i].plate in plates]
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
    standing = [_standing(plan, i, place) for i in posts]
    solid = tubular_body([forms.plates[k] for k in plates], tubes, standing, "sewing the head piece")
    twin = plan.twin.whole(plates, here, posts)
    off = abs(volume(solid) - twin.volume())
    if off > _SEWN_SHARE * twin.volume():
        raise KernelError("sewing the head piece", f"its parts run into one another: {off:.0f} mm3 counted twice")
    alone = len(here) == len(forms.courses) and len(posts) == len(forms.posts)
    return Checked(solid=solid, twin=twin) if alone else checked(solid)


def _standing(plan: HeadPlan, index: int, place: dict[int, int]) -> Post:
    item = plan.forms.posts[index]
    chain = post_profile(item.seat, plan.forms.flanges[item.plate].thickness_mm, item.foot_mm)
    return Post(plate=place[item.plate], at_mm=item.seat.at_mm, profile=chain)


def _post(plan: HeadPlan, index: int) -> Checked:
    """A post that runs into something, its foot sunk so that the face cuts it at an angle."""
    item = plan.forms.posts[index]
    drop = item.foot_mm * (1.0 - cos(radians(25.0))) + _FOOT_SUNK_MM
    face = plan.forms.flanges[item.plate].thickness_mm - drop
    outline, frame = post_body(item.seat, face, item.foot_mm, _UNDER_MM), post_frame(plan.forms, item)
    return Checked(solid=revolve(outline, frame), twin=twin_of_revolution(outline, frame))


def _with_runners(plan: HeadPlan, rung: Rung, bodies: Sequence[Checked], loose: Sequence[int]) -> Checked:
    """The first body with the runners that run into something, every second one first, then the other bodies."""
    whole = bodies[0]
    if loose:
        skins = rows(plan.forms, rung.joined)
        for i in (*loose[::2], *loose[1::2]):
            whole = fused(
                whole, [checked(skin_solid(skins[i].outer_mm))], f"joining runner {plan.forms.courses[i].runner.name}"
            )
    for other in bodies[1:]:
        whole = fused(whole, [other], "joining a flange")
    return whole


def _with_passages(plan: HeadPlan, rung: Rung, body: Checked, loose: Sequence[int]) -> Checked:
    """The passages of joined runners cut, one by one, running out past both joint faces."""
    if not loose:
        return body
    skins = rows(plan.forms, rung.joined, BEYOND_MM)
    for i in loose:
        body = cut(
            body, [checked(skin_solid(skins[i].inner_mm))], f"cutting passage {plan.forms.courses[i].runner.name}"
        )
    return body
