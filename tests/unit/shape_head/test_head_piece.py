"""The head piece as a whole: one sound solid, its volume that of its parts, its blends made."""

from dataclasses import replace

import numpy as np
import pytest

from tractwright.kernel.measure import volume
from tractwright.kernel.mesh import is_watertight
from tractwright.kernel.step import read_step, write_step
from tractwright.shape.blends import roots_made
from tractwright.shape.builders import head_piece
from tractwright.shape.finish import Blends, finely_meshed, finished
from tractwright.shape.head_body import LADDER, head_body, head_plan
from tractwright.shape.head_forms import head_forms
from tractwright.shape.head_roots import wanted_roots
from tractwright.shape.head_twin import clear_posts, head_twin, seat_notes
from tractwright.shape.seats import seat_of
from tractwright.shape.stage import build_one, builder_of

ANGLES = {"count": 2, "reach_mm": 120.0}


@pytest.fixture(scope="module")
def posted(block):
    design = block(**ANGLES, standoff_mm=8.0, rise_deg=5.0)
    return design, build_one(design.pieces[0], design)


def test_it_is_one_valid_watertight_solid_from_the_first_rung(posted):
    _, built = posted
    assert built.solid is not None
    assert (built.valid, built.watertight, built.solids, built.rung, built.fallback) == (True, True, 1, "", "")
    assert is_watertight(*built.mesh)


def test_its_volume_is_that_of_its_mesh_twin(posted):
    """Independent: the twin is made by another library from four times as many points."""
    _, built = posted
    assert built.volume_mm3 == pytest.approx(built.twin_volume_mm3, rel=3e-4)
    assert built.mass_kg == pytest.approx(built.volume_mm3 * 2.70e-6, rel=1e-3)  # 6061: 2700 kg/m3


def test_every_root_and_foot_is_rounded(posted):
    _, built = posted
    assert (built.blends_made, built.blends_wanted) == (8, 8)  # two runners' two roots, four posts


def test_the_step_file_gives_it_back(posted, tmp_path):
    _, built = posted
    write_step([("head", built.solid.opened())], tmp_path / "head.step", "head")
    (back,) = read_step(tmp_path / "head.step")
    assert volume(back) == pytest.approx(built.volume_mm3, rel=1e-4)


@pytest.mark.parametrize(("share", "made"), [(0.9, 2), (0.85, 0)])
def test_a_root_a_tenth_too_tight_passes_and_one_a_seventh_too_tight_does_not(block, share, made):
    """Roots of 6 mm where 6 mm over the share are wanted."""
    design = block(count=1)
    forms = head_forms(design.pieces[0], design)
    body = head_body(head_plan(forms, head_twin(forms)), LADDER[0])
    roots = [replace(root, radius_mm=root.radius_mm / share) for root in wanted_roots(forms)]
    assert {root.radius_mm for root in wanted_roots(forms)} == {6.0}
    assert roots_made(finely_meshed(body), roots) == made


def test_a_sharp_root_is_not_called_made(block):
    design = block(**ANGLES)
    sharp = replace(design, runners=tuple(replace(r, port_blend_mm=0.8) for r in design.runners))
    forms = head_forms(sharp.pieces[0], sharp)
    body = head_body(head_plan(forms, head_twin(forms)), LADDER[0])
    wanted = head_forms(design.pieces[0], design)
    fine = finely_meshed(body)
    built = finished(design.pieces[0], body, fine, Blends())
    counted = head_piece._with_blends(built, fine, wanted, ())
    assert (counted.blends_wanted, counted.blends_made) == (4, 2)


def test_a_post_that_runs_into_a_skin_is_joined_not_sewn(block):
    design = block(**ANGLES, standoff_mm=14.0, rise_deg=35.0, blend_mm=4.0)
    forms = head_forms(design.pieces[0], design)
    assert len(forms.posts) == 4
    assert len(clear_posts(head_twin(forms), forms)) == 2


def test_a_head_that_would_stand_in_a_runner_is_noted(block):
    design = block(**ANGLES)
    inside = replace(design.screws[0], seat_mm=(design.screws[0].seat_mm[0], 20.0, 12.0))
    crowded = replace(design, screws=(inside, *design.screws[1:]))
    forms = head_forms(crowded.pieces[0], crowded)
    (note,) = seat_notes(head_twin(forms), forms)
    assert note.startswith("head.s1: ")
    sound = head_forms(design.pieces[0], design)
    assert seat_notes(head_twin(sound), sound) == ()


def test_a_flush_seat_takes_no_more_ground_than_what_bears_on_it(block):
    """ISO 7089: a washer M8 is 16 mm wide; ISO 4762: a knurled M8 head at most 13.27 mm. No post, no post's wall."""
    design = block(**ANGLES)
    flange, screw = design.flanges[0], design.screws[0]
    assert 2 * seat_of(screw, flange).radius_mm == pytest.approx(13.27)
    assert 2 * seat_of(replace(screw, washer="ISO 7089"), flange).radius_mm == pytest.approx(16.0)
    x, y, z = screw.seat_mm
    raised = seat_of(replace(screw, seat_mm=(x, y, z + 8.0)), flange)
    assert (raised.raised, 2 * raised.radius_mm) == (True, screw.post_mm)


def test_passages_come_out_where_the_ports_are(posted):
    design, built = posted
    vertices, faces = built.mesh
    middle = vertices[faces].mean(axis=1)
    for port in design.ports:
        near = np.hypot(middle[:, 0] - port.at_mm[0], middle[:, 1] - port.at_mm[1]) < port.outline.height_mm / 2 - 3
        assert not (near & (np.abs(middle[:, 2]) < 0.5)).any()


def test_each_kind_has_its_builder():
    assert builder_of("head") is head_piece
