"""Volumes of exact solids against closed forms.

Sources: Pappus of Alexandria's second theorem (volume = area x path of its centroid), Steiner's formula for parallel
outlines, and the area and centroid of a quarter ellipse; any textbook of elementary geometry.
"""

from math import pi

import pytest
from rounded_boxes import rounded_box

from tractwright.geometry.contours import Contour, contour_area, contour_length
from tractwright.geometry.frames import Frame, frame_from_normal
from tractwright.geometry.placing import from_behind
from tractwright.geometry.unions import rounded_union
from tractwright.kernel.checked import cut
from tractwright.kernel.measure import is_valid, volume
from tractwright.kernel.mesh import is_watertight, tessellate
from tractwright.kernel.shells import Entry, Slab, Stand, Tubing, chamber, flanged_tube, plate
from tractwright.shape.parts.bodies import body, prism

FRAME = frame_from_normal((13.0, -4.0, 55.0), (0.2, 0.7, 0.6), (1.0, 0.1, 0.0))
NEAR = 1e-6
"""The kernel integrates volumes to a share of 1e-5 or better; these plain bodies come out a hundred times nearer."""


def disc(x: float, y: float, radius: float) -> Contour:
    return ((x + radius, y, 1.0), (x - radius, y, 1.0))


def spandrel(across: float, deep: float) -> tuple[float, float]:
    """Area between a quarter ellipse and its two tangents, and its centroid's distance from the upright tangent."""
    area = across * deep * (1 - pi / 4)
    return area, (across**2 * deep / 2 - pi / 4 * across * deep * (across - 4 * across / (3 * pi))) / area


def rounded_root(outline: Contour, radius: float) -> float:
    """Volume of a concave blend at the foot of a prism: its section integrated over parallel outlines."""
    area, out = spandrel(radius, radius)
    return area * contour_length(outline) + 2 * pi * area * out


def rounded_bore(entry: Entry) -> float:
    """Volume of a bore whose mouth is rounded by a quarter ellipse, Pappus."""
    if not entry.lip_across_mm:
        return pi / 4 * entry.bore_mm**2 * entry.length_mm
    area, out = spandrel(entry.lip_across_mm, entry.lip_deep_mm)
    return pi / 4 * entry.bore_mm**2 * entry.length_mm + 2 * pi * (entry.bore_mm / 2 + out) * area


def test_box_with_rounded_upright_edges():
    solid = plate(Slab(contour=rounded_box(120, 80, 15), frame=FRAME, thickness_mm=40))
    assert volume(solid) == pytest.approx((120 * 80 - (4 - pi) * 225) * 40, rel=NEAR)


def test_broken_edge_of_a_plate():
    outline, edge = rounded_box(120, 80, 15), 1.5
    solid = plate(Slab(contour=outline, frame=FRAME, thickness_mm=10, break_mm=edge))
    area, length = contour_area(outline), contour_length(outline)
    under_chamfer = area * edge - length * edge**2 / 2 + pi * edge**3 / 3
    assert volume(solid) == pytest.approx(area * (10 - edge) + under_chamfer, rel=NEAR)


def test_prism_with_a_rounded_root_on_a_plate():
    outline = rounded_box(100, 60, 20)
    slab = Slab(contour=rounded_box(140, 100, 10), frame=FRAME, thickness_mm=12)
    solid = plate(slab, (Stand(outline=outline, root_mm=5, height_mm=50),))
    exact = contour_area(slab.contour) * 12 + contour_area(outline) * 38 + rounded_root(outline, 5)
    assert volume(solid) == pytest.approx(exact, rel=NEAR)


def test_walls_with_columns_have_the_root_of_their_whole_outline():
    """Convex and concave arcs: a closed outline turns once, so Steiner's term stays pi x distance^2."""
    outline = rounded_union([rounded_box(200, 90, 18), *(disc(x, y, 7) for x in (-80, 0, 80) for y in (-47, 47))], 9.0)
    slab = Slab(contour=rounded_box(260, 150, 10), frame=FRAME, thickness_mm=12)
    solid = plate(slab, (Stand(outline=outline, root_mm=4, height_mm=80),))
    exact = contour_area(slab.contour) * 12 + contour_area(outline) * 68 + rounded_root(outline, 4)
    assert volume(solid) == pytest.approx(exact, rel=NEAR)
    assert is_valid(solid)
    assert is_watertight(*tessellate(solid))


@pytest.mark.parametrize(("across", "deep"), [(6.0, 6.0), (4.0, 7.0), (7.0, 4.0), (0.0, 0.0)])
def test_chamber_with_a_rounded_floor_and_mouths(across, deep):
    inside, radius = rounded_box(220, 80, 14), 3.0
    floor = FRAME.moved((0.0, 0.0, 12.0))
    down = from_behind(floor)
    mouths = [
        Entry(frame=down.moved((x, 0.0, 0.0)), bore_mm=40, lip_across_mm=across, lip_deep_mm=deep, length_mm=13)
        for x in (-66, 0, 66)
    ]
    opening = Entry(
        frame=Frame(origin_mm=tuple(floor.to_world((110, 0, 40))), x=floor.y, y=floor.z, z=floor.x),
        bore_mm=40, lip_across_mm=5, lip_deep_mm=5, length_mm=20,
    )  # fmt: skip
    solid = chamber(inside, floor, 75.0, radius, [*mouths, opening])
    area, length = contour_area(inside), contour_length(inside)
    corner, inwards = spandrel(radius, radius)
    lost = corner * length - 2 * pi * corner * inwards
    exact = area * 75 - lost + sum(rounded_bore(entry) for entry in [*mouths, opening])
    assert volume(solid) == pytest.approx(exact, rel=NEAR)
    assert is_valid(solid)


def test_groove_ring_by_pappus():
    path = rounded_box(180, 90, 20)
    block = body(plate(Slab(contour=rounded_box(220, 130, 10), frame=FRAME, thickness_mm=12)))
    outer = [(x, y, bulge) for x, y, bulge in rounded_box(184, 94, 22)]
    groove = prism(tuple(outer), FRAME.moved((0, 0, -1.0)), 1.0 + 2.3, holes=(rounded_box(176, 86, 18),))
    left = cut(block, [groove], "a groove")
    assert volume(left.solid) == pytest.approx(volume(block.solid) - contour_length(path) * 4.0 * 2.3, rel=1e-10)


def test_neck_between_two_flanges():
    def slab(frame: Frame, thickness: float) -> Slab:
        return Slab(contour=disc(0, 0, 45), frame=frame, thickness_mm=thickness)

    far = from_behind(FRAME.moved((0.0, 0.0, 60.0)))
    tubing = Tubing(axis=FRAME, length_mm=60, bore_mm=60, outer_mm=70, roots_mm=(4, 2.5))
    solid = flanged_tube(slab(FRAME, 10), slab(far, 12), tubing)
    roots = sum(2 * pi * (35 + out) * area for area, out in (spandrel(4, 4), spandrel(2.5, 2.5)))
    exact = pi * 45**2 * 22 + pi * 35**2 * 38 + roots - pi * 30**2 * 60
    assert volume(solid) == pytest.approx(exact, rel=NEAR)
    assert is_valid(solid)
