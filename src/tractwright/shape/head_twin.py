"""A head piece made of meshes: every part as a mesh, which parts run into one another, and the whole."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
import shapely
from manifold3d import Manifold

from tractwright.geometry.frames import Array, Frame
from tractwright.kernel.bands import carried_offset
from tractwright.kernel.tubular import Plate
from tractwright.kernel.twins import joined, twin_of_prism, twin_of_revolution, twin_of_tube
from tractwright.shape.head_forms import HeadForms, Placed, Rows, rows
from tractwright.shape.roots import Sampling
from tractwright.shape.seats import post_body

BEYOND_MM = 3.0
_INTO_MM = 1.0
_TOUCH_MM3 = 0.5
_LIFT_MM = 0.05
_HEAD_MM = 10.0
"""Height over a seat that is looked at: a cap screw's head up to M10."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class HeadTwin:
    """The parts as meshes, in the order of the forms: plates, runners outside and inside, posts."""

    plates: tuple[Manifold, ...]
    outer: tuple[Manifold, ...]
    inner: tuple[Manifold, ...]
    posts: tuple[Manifold, ...]

    def whole(self, plates: Sequence[int], courses: Sequence[int], posts: Sequence[int]) -> Manifold:
        """Those parts joined, and the passages of those runners cut."""
        metal = [self.plates[i] for i in plates] + [self.outer[i] for i in courses] + [self.posts[i] for i in posts]
        body = joined(metal)
        return body - joined([self.inner[i] for i in courses]) if courses else body


def fine(sampling: Sampling) -> Sampling:
    """The same skins with so many points that a mesh of them holds their volume to 1 in 3000."""
    return replace(sampling, angles=192, arc_rows=14, easing_rows=12, middle_rows=64)


def head_twin(forms: HeadForms) -> HeadTwin:
    """Every part of a head piece as a mesh. Raises KernelError where a runner's skin bounds no body."""
    skins = rows(forms, fine(Sampling()), BEYOND_MM)
    return HeadTwin(
        plates=tuple(_plate(item) for item in forms.plates),
        outer=tuple(_outer(forms, i, item) for i, item in enumerate(skins)),
        inner=tuple(twin_of_tube(item.inner_mm) for item in skins),
        posts=tuple(_post(forms, item) for item in forms.posts),
    )


def clear_courses(twin: HeadTwin, forms: HeadForms) -> tuple[int, ...]:
    """The runners whose skins keep clear of every other runner and of plates they do not end in."""
    count = len(twin.outer)
    crowded = {i for i, course in enumerate(forms.courses) if course.merges}
    for i, k in combinations(range(count), 2):
        if _touches(twin.outer[i], twin.outer[k]):
            crowded |= {i, k}
    for i, course in enumerate(forms.courses):
        foreign = [plate for k, plate in enumerate(twin.plates) if k not in course.ends]
        if any(_touches(twin.outer[i], plate) for plate in foreign):
            crowded.add(i)
    return tuple(i for i in range(count) if i not in crowded)


def clear_posts(twin: HeadTwin, forms: HeadForms) -> tuple[int, ...]:
    """The posts that keep clear of skins and of other posts, and whose feet stay on their flange."""
    skins = joined(twin.outer)
    kept: list[int] = []
    for i, item in enumerate(forms.posts):
        hits = _touches(twin.posts[i], skins) or any(_touches(twin.posts[i], twin.posts[k]) for k in kept)
        if not hits and _on_its_flange(forms, item):
            kept.append(i)
    return tuple(kept)


def seat_notes(twin: HeadTwin, forms: HeadForms) -> tuple[str, ...]:
    """A line for each screw whose head would stand in a runner's metal: the seat is not cut into the skin."""
    skins = joined(twin.outer)
    found: list[str] = []
    for item in forms.seats:
        if item.seat.bears:
            over = forms.flanges[item.plate].frame.moved((*item.seat.at_mm, item.seat.height_mm + _LIFT_MM))
            wide = item.seat.radius_mm
            head = ((0.0, 0.0, 0.0), (wide, 0.0, 0.0), (wide, _HEAD_MM, 0.0), (0.0, _HEAD_MM, 0.0))
            shared = (twin_of_revolution(head, over) ^ skins).volume()
            if shared > _TOUCH_MM3:
                found.append(f"{item.seat.screw}: {shared:.0f} mm3 of runner stand where its head or washer goes")
    return tuple(found)


def post_frame(forms: HeadForms, item: Placed) -> Frame:
    """The frame of a post's line on the joint face."""
    return forms.flanges[item.plate].frame.moved((*item.seat.at_mm, 0.0))


def _touches(one: Manifold, other: Manifold) -> bool:
    """Whether two bodies share more than a trace of space."""
    return (one ^ other).volume() > _TOUCH_MM3


def _on_its_flange(forms: HeadForms, item: Placed) -> bool:
    foot = item.seat.radius_mm + item.foot_mm
    centre = np.array(item.seat.at_mm)
    ground = forms.ground(item.plate)
    reach = ground.exterior.distance(shapely.Point(centre))
    return bool(ground.contains(shapely.Point(centre))) and reach > foot + 0.05


def _outer(forms: HeadForms, index: int, skin: Rows) -> Manifold:
    """A runner's outside, running a little into both plates."""
    first, last = (np.array(forms.face(plate).z) for plate in forms.courses[index].ends)
    ends = skin.outer_mm[0] - first * _INTO_MM, skin.outer_mm[-1] - last * _INTO_MM
    whole: Array = np.concatenate([ends[0][None], skin.outer_mm, ends[1][None]])
    return twin_of_tube(whole)


def _plate(item: Plate) -> Manifold:
    """The chamfer is a step half as wide, which holds as much."""
    body = twin_of_prism(item.contour, item.frame, item.thickness_mm - item.break_mm)
    if item.break_mm <= 0.0:
        return body
    under = item.thickness_mm - item.break_mm - _INTO_MM
    half = carried_offset(item.contour, -item.break_mm / 2.0)
    return body + twin_of_prism(half, item.frame.moved((0.0, 0.0, under)), item.break_mm + _INTO_MM)


def _post(forms: HeadForms, item: Placed) -> Manifold:
    thickness = forms.flanges[item.plate].thickness_mm
    return twin_of_revolution(post_body(item.seat, thickness, item.foot_mm, _INTO_MM), post_frame(forms, item))
