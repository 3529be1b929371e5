"""What goes out to be drawn on, cut and laid on, each read back by something else than what wrote it."""

import csv
import io
import re
from dataclasses import replace
from math import pi
from pathlib import Path

import ezdxf
import ezdxf.recover
import gmsh
import numpy as np
import pytest
import trimesh
from scipy.interpolate import BSpline
from shapely.geometry import Polygon

from tractwright.design.records import Dowel, Screw
from tractwright.design.tube import tube_at
from tractwright.geometry.contours import contour_area
from tractwright.geometry.frames import Array
from tractwright.kernel.measure import volume
from tractwright.kernel.mesh import tessellate
from tractwright.kernel.step import read_step
from tractwright.packet.contents import Contents
from tractwright.packet.drawing.face import face_of
from tractwright.packet.exports import (
    joint_faces,
    lines_dxf,
    lines_step,
    lines_tables,
    passages,
    screw_solids,
    stl_files,
    stock_blocks,
)
from tractwright.standards.screws import screw_head, washer
from tractwright.standards.threads import thread


def _written(folder: Path, files: dict[str, bytes]) -> list[Path]:
    places = [folder / Path(name).name for name in files]
    for place, content in zip(places, files.values(), strict=True):
        place.write_bytes(content)
    return places


def test_passages_are_solids_that_run_out_past_both_ends(whole: Contents, tmp_path: Path):
    """Volume between the ends by the area schedule, and the run-outs as straight prisms beyond them (closed form)."""
    design = whole.case.design
    (path,) = _written(tmp_path, dict(passages.write(whole)))
    solids = read_step(path)
    assert len(solids) == len(design.runners)
    for solid, runner in zip(solids, design.runners, strict=True):
        model = whole.case.tubes[runner.name]
        inside = np.trapezoid(model.area_mm2, model.s_mm)
        beyond = passages.RUN_OUT_MM * (model.area_mm2[0] + model.area_mm2[-1])
        assert volume(solid) == pytest.approx(inside + beyond, rel=2e-3)
        corners, _ = tessellate(solid)
        bank = next(bank.frame for bank in design.banks if bank.name == runner.bank)
        plenum = next(p.frame for p in design.plena if p.name == runner.mouth.plenum)
        assert bank.to_local(corners)[:, 2].min() == pytest.approx(-passages.RUN_OUT_MM, abs=1e-3)
        floor = next(p.floor_mm for p in design.plena if p.name == runner.mouth.plenum)
        assert plenum.to_local(corners)[:, 2].max() == pytest.approx(floor + passages.RUN_OUT_MM, abs=1e-3)


def test_lines_read_by_another_reader_have_their_lengths(whole: Contents, tmp_path: Path):
    """gmsh reads every curve; the longest of a runner's are its course and its leads."""
    (path,) = _written(tmp_path, dict(lines_step.write(whole)))
    gmsh.initialize()
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.model.occ.importShapes(str(path), highestDimOnly=False)
        gmsh.model.occ.synchronize()
        curves = gmsh.model.getEntities(1)
        lengths = [gmsh.model.occ.getMass(1, tag) for _, tag in curves]
        assert not gmsh.model.getEntities(2)
        box = np.array(gmsh.model.getBoundingBox(-1, -1))
    finally:
        gmsh.finalize()
    runners = whole.case.design.runners
    courses = [_course_length(np.array(runner.poles_mm)) for runner in runners]
    for course in courses:
        assert min(abs(course - length) for length in lengths) < 1e-3
    rings = sum(9 for _ in runners)
    axes = 2 * 3 * len(runners)
    assert len(curves) >= rings + axes + len(runners)
    assert (box[3:] - box[:3]).min() > 0.0


def _course_length(poles: Array) -> float:
    """By chords of the spline, evaluated by scipy."""
    u = np.linspace(0.0, 1.0, 20001)
    return float(np.linalg.norm(np.diff(_scipy_spline(poles)(u), axis=0), axis=1).sum())


def _scipy_spline(poles: Array) -> BSpline:
    return BSpline(np.r_[[0.0] * 4, np.linspace(0.0, 1.0, len(poles) - 3), [1.0] * 4], poles, 4)


def test_the_text_of_the_lines_holds_the_poles_themselves(whole: Contents):
    """By the entities of ISO 10303-42: a degree 4 B-spline curve's points, looked up by number."""
    text = lines_step.write(whole)["hand_off/lines.step"].decode()
    points = {
        int(number): np.array([float(v) for v in values.split(",")])
        for number, values in re.findall(r"#(\d+)\s*=\s*CARTESIAN_POINT\('[^']*',\(([^)]*)\)\)", text)
    }
    written = [
        np.array([points[int(n)] for n in re.findall(r"#(\d+)", poles)])
        for poles in re.findall(r"B_SPLINE_CURVE_WITH_KNOTS\('[^']*',4,\(([^)]*)\)", text)
    ]
    for runner in whole.case.design.runners:
        assert any(len(w) == 8 and np.abs(w - np.array(runner.poles_mm)).max() < 1e-9 for w in written)
    products = set(re.findall(r"=\s*PRODUCT\(\s*'([^']*)'", text))
    names = {f"{r.name} {what}" for r in whole.case.design.runners for what in ("centreline", "port end", "sections")}
    assert names <= products


def test_a_known_meeting_line_is_drawn(whole: Contents):
    """A ring round the centreline at the station the plan names."""
    case = whole.case
    plan = case.plan
    met = replace(
        whole, case=replace(case, plan=replace(plan, passages=(replace(plan.passages[0], meeting_line_mm=88.0),)))
    )
    assert b"'r1 meeting line'" in lines_step.write(met)["hand_off/lines.step"]
    drawing = ezdxf.read(io.StringIO(lines_dxf.write(met)["hand_off/lines.dxf"].decode()))
    (ring,) = drawing.modelspace().query('POLYLINE[layer=="meeting_line"]')
    middle = np.array([v.dxf.location.xyz for v in ring.vertices]).mean(axis=0)
    at = tube_at(case.design.runners[0], case.design, np.array([88.0]), 8).centre_mm[0]
    assert np.linalg.norm(middle - at) < 0.1


def test_drawing_exchange_files_are_audited_clean(whole: Contents):
    files = {**joint_faces.write(whole), **lines_dxf.write(whole)}
    assert len(files) == len(whole.case.design.joints) + 1
    for name, content in files.items():
        drawing, auditor = ezdxf.recover.read(io.BytesIO(content))
        assert not auditor.has_errors, name
        assert not auditor.has_fixes, name
        assert drawing.audit().errors == []
        assert drawing.units == ezdxf.units.MM


def test_joint_drawings_hold_the_faces(whole: Contents):
    """Outline areas by shoelace on the flattened drawing; hole places by number; circles stay circles."""
    files = joint_faces.write(whole)
    for joint in whole.case.design.joints:
        drawing = ezdxf.read(io.StringIO(files[f"hand_off/joint_{joint.name}.dxf"].decode()))
        space, face = drawing.modelspace(), face_of(whole.case, joint)
        holes = {(round(c.dxf.center.x, 6), round(c.dxf.center.y, 6)) for c in space.query('CIRCLE[layer=="hole"]')}
        assert holes == {(round(h.x_mm, 6), round(h.y_mm, 6)) for h in face.holes}
        for piece, outline in face.outlines:
            (run,) = space.query(f'LWPOLYLINE[layer=="outline_{piece}"]')
            flat = ezdxf.path.make_path(run).flattening(0.001)
            assert Polygon([(p.x, p.y) for p in flat]).area == pytest.approx(contour_area(outline), rel=1e-4)
    body = ezdxf.read(io.StringIO(files["hand_off/joint_body.dxf"].decode())).modelspace()
    assert [c.dxf.radius for c in body.query('CIRCLE[layer=="opening"]')] == pytest.approx([23.0], abs=1e-9)


def test_the_drawn_centreline_is_the_course(whole: Contents):
    space = ezdxf.read(io.StringIO(lines_dxf.write(whole)["hand_off/lines.dxf"].decode())).modelspace()
    splines = list(space.query("SPLINE"))
    for spline, runner in zip(splines, whole.case.design.runners, strict=True):
        u = np.linspace(0.0, 1.0, 11)
        tool = spline.construction_tool()
        drawn = np.array([p.xyz for p in tool.points(u * tool.max_t)])
        assert np.abs(drawn - _scipy_spline(np.array(runner.poles_mm))(u)).max() < 1e-6


def test_tables_of_lines_agree_with_the_ends(whole: Contents):
    files = {name: list(csv.DictReader(io.StringIO(text.decode()))) for name, text in lines_tables.write(whole).items()}
    design = whole.case.design
    ends = files["hand_off/ends.csv"]
    assert [(row["runner"], row["end"]) for row in ends] == [
        (r.name, e) for r in design.runners for e in ("port", "mouth")
    ]
    for row, runner in zip(ends[1::2], design.runners, strict=True):
        plenum = next(p for p in design.plena if p.name == runner.mouth.plenum)
        way = [float(row[f"z_axis_{axis}"]) for axis in "xyz"]
        assert np.abs(np.array(way) - plenum.frame.z).max() < 1e-8
        assert float(row["opening_mm2"]) == pytest.approx(pi / 4 * runner.mouth.bore_mm**2, abs=1e-3)
        line = [r for r in files["hand_off/centrelines.csv"] if r["runner"] == runner.name]
        assert float(line[-1]["s_mm"]) == pytest.approx(runner.length_mm, rel=2e-3)
    assert len(files["hand_off/sections.csv"]) == 9 * 48 * len(design.runners)


def test_screws_are_simple_solids_in_their_places(whole: Contents, tmp_path: Path):
    """Volumes as cylinders by the tables' sizes (closed form); tips where the description says."""
    (path,) = _written(tmp_path, dict(screw_solids.write(whole)))
    design = whole.case.design
    solids = read_step(path)
    assert len(solids) == len(design.screws) + len(design.dowels)
    for solid, screw in zip(solids, design.screws, strict=False):
        assert volume(solid) == pytest.approx(_screw_volume(screw), rel=1e-6)
        corners, _ = tessellate(solid)
        along = (corners - np.array(screw.seat_mm)) @ np.array(screw.direction)
        thick = washer(screw.thread, screw.washer).thickness_mm if screw.washer else 0.0
        assert along.max() == pytest.approx(screw.length_mm - thick, abs=1e-6)
        assert along.min() == pytest.approx(-thick - screw_head(screw.head, screw.thread).height_mm, abs=1e-6)


def _screw_volume(screw: Screw) -> float:
    head, major = screw_head(screw.head, screw.thread), thread(screw.thread).major_mm
    disc = washer(screw.thread, screw.washer) if screw.washer else None
    ring = pi / 4 * (disc.outer_mm**2 - major**2) * disc.thickness_mm if disc else 0.0
    return pi / 4 * (head.across_mm**2 * head.height_mm + major**2 * screw.length_mm) + ring


def test_a_dowel_is_a_pin(whole: Contents, tmp_path: Path):
    """By the volume of a cylinder."""
    joint = whole.case.design.joints[0]
    pin = Dowel(
        name="head.d1", joint=joint.name, at_mm=(1.0, 2.0, 0.0), direction=joint.frame.z, diameter_mm=8.0,
        depth_first_mm=10.0, depth_second_mm=6.0,
    )  # fmt: skip
    case = whole.case
    design = replace(case.design, dowels=(pin,))
    pinned = replace(whole, case=replace(case, described=replace(case.described, design=design)))
    (path,) = _written(tmp_path, dict(screw_solids.write(pinned)))
    assert volume(read_step(path)[-1]) == pytest.approx(pi / 4 * 8.0**2 * 16.0, rel=1e-6)


def test_stock_blocks_hold_their_pieces(whole: Contents, tmp_path: Path):
    (path,) = _written(tmp_path, dict(stock_blocks.write(whole)))
    stocks = whole.case.plan.stocks
    for solid, stock, piece in zip(read_step(path), stocks, whole.case.pieces, strict=True):
        assert volume(solid) == pytest.approx(float(np.prod(stock.size_mm)), rel=1e-9)
        axes = np.array(stock.axes)
        inside, block = piece.mesh[0] @ axes.T, tessellate(solid)[0] @ axes.T
        over = np.stack([inside.min(axis=0) - block.min(axis=0), block.max(axis=0) - inside.max(axis=0)])
        assert over.min() >= -1e-6
        assert np.abs(over[0] - over[1]).max() < 1e-6


def test_stl_read_by_trimesh_holds_the_same_triangles(whole: Contents):
    files = stl_files.write(whole)
    for piece in whole.case.pieces:
        mesh = trimesh.load(io.BytesIO(files[f"print/{piece.name}.stl"]), file_type="stl")
        assert mesh.is_watertight
        assert mesh.volume == pytest.approx(trimesh.Trimesh(*piece.mesh, process=False).volume, rel=1e-5)
