"""A head piece made of meshes: every part as a mesh, which parts run into one another, and the whole."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from manifold3d import Manifold

from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array
from tractwright.kernel.twins import joined, twin_of_prism, twin_of_revolution, twin_of_tube
from tractwright.shape.head_forms import HeadForms, Placed, Rows, rows
from tractwright.shape.roots import Sampling
from tractwright.shape.turned import post_body

FINE = Sampling(angles=192, arc_rows=14, easing_rows=12, middle_rows=64)
_INTO_MM = 1.0
_BEYOND_MM = 3.0
_TOUCH_MM3 = 0.5


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class HeadTwin:
    """The parts as meshes: plates, runners outside and inside, posts and bores, in the order of the forms.

    A post is None where there is none.
    """

    plates: tuple[Manifold, ...]
    outer: tuple[Manifold, ...]
    inner: tuple[Manifold, ...]
    posts: tuple[Manifold | None, ...]
    bores: tuple[Manifold, ...]

    def whole(self, courses: Sequence[int], placed: Sequence[int], plates: Sequence[int]) -> Manifold:
        """Those parts joined and cut."""
        posts = [post for i in placed if (post := self.posts[i]) is not None]
        body = joined([*(self.plates[i] for i in plates), *(self.outer[i] for i in courses), *posts])
        away = [*(self.inner[i] for i in courses), *(self.bores[i] for i in placed)]
        return body - joined(away) if away else body


def head_twin(forms: HeadForms) -> HeadTwin:
    """Every part of a head piece as a mesh. Raises KernelError where a runner's skin bounds no body."""
    skins = rows(forms, FINE, _BEYOND_MM)
    return HeadTwin(
        plates=tuple(twin_of_prism(item.contour, item.frame, item.thickness_mm) for item in forms.plates),
        outer=tuple(outer_twin(forms, i, item) for i, item in enumerate(skins)),
        inner=tuple(twin_of_tube(item.inner_mm) for item in skins),
        posts=tuple(_post(forms, item) for item in forms.placed),
        bores=tuple(bore_twin(forms, item) for item in forms.placed),
    )


def outer_twin(forms: HeadForms, index: int, skin: Rows) -> Manifold:
    """A runner's outside, running a little into both plates."""
    first, last = (np.array(forms.face(plate).z) for plate in forms.courses[index].ends)
    into: Array = np.concatenate(
        [[skin.outer_mm[0] - first * _INTO_MM], skin.outer_mm, [skin.outer_mm[-1] - last * _INTO_MM]]
    )
    return twin_of_tube(into)


def bore_twin(forms: HeadForms, item: Placed) -> Manifold:
    """What a hole and its seat take away."""
    flange = forms.flanges[item.plate]
    return twin_of_revolution(bore_profile(item, flange.thickness_mm), flange.frame.moved((*item.hole.at_mm, 0.0)))


def bore_profile(item: Placed, thickness_mm: float) -> tuple[tuple[float, float, float], ...]:
    """A hole as a closed profile (radius, height over the joint face, bulge), running out past the faces it opens in."""
    hole = item.hole
    radius = hole.bore_mm / 2.0
    if hole.bottom_mm is not None:
        return (
            (0.0, -_INTO_MM, 0.0),
            (radius, -_INTO_MM, 0.0),
            (radius, hole.bottom_mm, 0.0),
            (0.0, hole.bottom_mm, 0.0),
        )
    top = max(thickness_mm, hole.seat_mm) + _INTO_MM
    if hole.sunk_mm == 0.0:
        return ((0.0, -_INTO_MM, 0.0), (radius, -_INTO_MM, 0.0), (radius, top, 0.0), (0.0, top, 0.0))
    seat = hole.seat_mm
    return (
        (0.0, -_INTO_MM, 0.0), (radius, -_INTO_MM, 0.0), (radius, seat, 0.0),
        (hole.sunk_mm, seat, 0.0), (hole.sunk_mm, top, 0.0), (0.0, top, 0.0),
    )  # fmt: skip


def clear_courses(twin: HeadTwin, forms: HeadForms) -> tuple[int, ...]:
    """The runners whose skins keep clear of every other runner and of plates they do not end in."""
    count = len(twin.outer)
    crowded: set[int] = set()
    for i in range(count):
        for j in range(i + 1, count):
            if touches(twin.outer[i], twin.outer[j]):
                crowded |= {i, j}
        foreign = [k for k in range(len(twin.plates)) if k not in forms.courses[i].ends]
        if any(touches(twin.outer[i], twin.plates[k]) for k in foreign):
            crowded.add(i)
    return tuple(i for i in range(count) if i not in crowded)


def clear_placed(twin: HeadTwin, forms: HeadForms) -> tuple[int, ...]:
    """The posts and holes that keep clear of skins, passages, other posts and holes, and inside their flange's edge."""
    kept: list[int] = []
    skins = joined(twin.outer)
    for i, item in enumerate(forms.placed):
        post, bore = twin.posts[i], twin.bores[i]
        body = bore if post is None else post + bore
        blind = item.hole.bottom_mm is not None
        hits = touches(body, joined(twin.inner)) if blind else touches(body, skins)
        hits = hits or any(touches(body, other) for k in kept for other in (twin.bores[k], twin.posts[k]) if other)
        hits = hits or not _inside(forms, item)
        if not hits:
            kept.append(i)
    return tuple(kept)


def touches(one: Manifold, other: Manifold) -> bool:
    """Whether two bodies share more than a trace of space."""
    return (one ^ other).volume() > _TOUCH_MM3


def _inside(forms: HeadForms, item: Placed) -> bool:
    """Whether a feature's rings stay inside its flange's contour."""
    flange = forms.flanges[item.plate]
    radius = max(
        item.hole.bore_mm / 2.0, item.hole.sunk_mm, item.hole.post_mm + item.foot_mm if item.hole.post_mm else 0.0
    )
    ground = shapely.Polygon(polyline(flange.contour))
    centre = shapely.Point(item.hole.at_mm)
    return bool(ground.contains(centre)) and centre.distance(ground.exterior) > radius + 0.05


def _post(forms: HeadForms, item: Placed) -> Manifold | None:
    if item.hole.post_mm <= 0.0:
        return None
    flange = forms.flanges[item.plate]
    outline = post_body(item.hole, flange.thickness_mm, item.foot_mm, _INTO_MM)
    return twin_of_revolution(outline, flange.frame.moved((*item.hole.at_mm, 0.0)))
