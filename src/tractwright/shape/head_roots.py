"""The blends a head piece wants: at both ends of every runner and at every post's foot."""

import numpy as np
import shapely

from tractwright.design.tube import centreline
from tractwright.shape.blends import Root
from tractwright.shape.head_forms import HeadForms, Placed, root_outlines

_TIGHT_MM = 0.05


def wanted_roots(forms: HeadForms) -> list[Root]:
    """Runner roots first, in the order of the runners, then feet of posts."""
    found: list[Root] = []
    for course, pair in zip(forms.courses, root_outlines(forms), strict=True):
        axis = centreline(course.runner, forms.design).points_mm
        bosses = tuple(boss for boss in forms.design.bosses if boss.runner)
        for plate, outline, radius in zip(course.ends, pair, course.radii_mm, strict=True):
            seats = [item for item in forms.seats if item.plate == plate]
            apart = tuple((item.seat.at_mm, item.seat.radius_mm + item.foot_mm + _TIGHT_MM) for item in seats)
            face = forms.face(plate)
            found.append(
                Root(
                    face=face,
                    outline=outline,
                    axis_mm=axis,
                    radius_mm=radius,
                    apart_from=apart,
                    apart_bosses=bosses,
                )
            )
    return found + [_foot(forms, item) for item in forms.posts if item.foot_wanted_mm > 0.0]


def _foot(forms: HeadForms, item: Placed) -> Root:
    face = forms.face(item.plate)
    height = item.seat.height_mm - forms.flanges[item.plate].thickness_mm
    axis = face.to_world([(*item.seat.at_mm, share * height) for share in np.linspace(0.0, 1.0, 9)])
    seats = [other for other in forms.seats if other.plate == item.plate]
    apart = tuple((other.seat.at_mm, other.seat.radius_mm - _TIGHT_MM) for other in seats)
    outline = shapely.Point(item.seat.at_mm).buffer(item.seat.radius_mm, quad_segs=32)
    return Root(face=face, outline=outline, axis_mm=axis, radius_mm=item.foot_wanted_mm, apart_from=apart)
