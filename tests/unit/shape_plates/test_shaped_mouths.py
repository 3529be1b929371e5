"""Mouths that are not round, in a plenum piece: their opening in the joint face is theirs, their entry rounded."""

from dataclasses import replace

import pytest
import shapely
from plenum_pieces import Box, plenum_pieces

from tractwright.design.mouths import mouth_contour
from tractwright.design.records import Design
from tractwright.geometry.contours import Contour, contour_area, polyline
from tractwright.geometry.outlines import Outline, outline_contour
from tractwright.kernel.sections import plane_section
from tractwright.shape.builders.plenum_piece import build

ROUNDED = outline_contour(Outline(kind="rounded_rectangle", width_mm=36.0, height_mm=44.0, corner_radius_mm=11.0))
CORNERED: Contour = ((18.0, -14.0, 0.0), (18.0, 14.0, 0.0), (-18.0, 14.0, 0.0), (-18.0, -14.0, 0.0))


def _with_mouths(contour: Contour) -> Design:
    design = plenum_pieces(Box(count=2))
    shaped = tuple(replace(r, mouth=replace(r.mouth, contour=contour)) for r in design.runners)
    return replace(design, runners=shaped)


@pytest.mark.parametrize("contour", [ROUNDED, CORNERED], ids=["rounded", "cornered"])
def test_the_opening_in_the_joint_face_is_the_mouths(contour: Contour):
    """Hausdorff distance of the section a hair over the joint face to the outline, by shapely."""
    design = _with_mouths(contour)
    built = build(design.pieces[0], design)
    assert built.solid is not None
    assert built.valid
    assert built.watertight
    plenum = design.plena[0]
    section = plane_section(built.solid.opened(), plenum.frame.moved((0.0, 0.0, 0.5)), chord_mm=0.001)
    for runner in design.runners:
        wanted = shapely.Polygon(polyline(mouth_contour(runner.mouth), 0.001))
        holes = [shapely.Polygon(ring) for ring in section.loops_mm]
        near = min(holes, key=lambda hole: hole.centroid.distance(wanted.centroid))
        assert near.exterior.hausdorff_distance(wanted.exterior) < 0.01
    assert any("sharp" in note for note in built.notes) == (contour is CORNERED)


def test_the_entry_widens_towards_the_plenum():
    """Just under the floor's face the opening is larger than the mouth's by about its lip."""
    design = _with_mouths(ROUNDED)
    plenum = design.plena[0]
    solid = build(design.pieces[0], design).solid
    assert solid is not None
    section = plane_section(solid.opened(), plenum.frame.moved((0.0, 0.0, plenum.floor_mm - 0.2)))
    areas = sorted(shapely.Polygon(ring).area for ring in section.loops_mm)
    lip = design.runners[0].mouth.lip_radius_mm
    grown = shapely.Polygon(polyline(ROUNDED)).buffer(0.6 * lip).area
    assert areas[-2] > grown > contour_area(ROUNDED)
