"""A small manifold without an engine, described in earnest, its pieces stood in for by plates: every export has work to do."""

from dataclasses import replace
from pathlib import Path

import pytest
from row_sheets import LARGER, row_sheet

from tractwright.air.records import BenchFlow, BenchRow, Breathing, Change, MachAlong, RuleOfThumb, Traces, Unequal
from tractwright.design.records import Design, Piece
from tractwright.errors import KernelError
from tractwright.kernel.measure import volume
from tractwright.kernel.mesh import tessellate
from tractwright.kernel.packed import PackedSolid
from tractwright.kernel.primitives import extrude
from tractwright.kernel.solid import solid_to_bytes
from tractwright.make.stage import plan, priced
from tractwright.packet.contents import Contents
from tractwright.pipeline import check_job
from tractwright.reach.records import PassageReach
from tractwright.shape.records import BuiltPiece, nothing_built
from tractwright.watch import Watch

SHEET = row_sheet(job={"note": "ports & <angles>: words that must not break a page"}, **LARGER)


def _plate(piece: Piece, design: Design) -> BuiltPiece:
    """The piece's first flange as a plain plate: a valid solid that is quickly made."""
    flange = next(item for item in design.flanges if item.piece == piece.name)
    solid = extrude(flange.contour, flange.frame, flange.thickness_mm)
    mesh = tessellate(solid)
    held = volume(solid)
    return BuiltPiece(
        name=piece.name, kind=piece.kind, solid=PackedSolid(solid_to_bytes(solid)), mesh=mesh,
        valid=True, watertight=True, solids=1,
        volume_mm3=held, twin_volume_mm3=held, mass_kg=held * 2.7e-6, blends_wanted=0, blends_made=0, rung="",
        fallback="",
    )  # fmt: skip


def _reach(runner: str) -> PassageReach:
    inf = float("inf")
    return PassageReach(
        piece="head", runner=runner, verdict="must split", stations_mm=(0.5, 60.0, 120.0, 170.0),
        stickout_from_port_mm=(10.0, 70.0, inf, inf), stickout_from_mouth_mm=(inf, inf, 60.0, 10.0),
        meeting_line_mm=None, split_at_mm=90.0, reach_from_port_end_mm=70.0, reach_from_mouth_end_mm=70.0, ledge_mm=None,
        cutter="", stickout_over_neck=None, stickout_over_head=None,
    )  # fmt: skip


BREATHING = Breathing(
    rpm=(2000.0, 4000.0, 6000.0), delivered_ve=(0.8, 0.95, 0.9), trapped_ve=(0.79, 0.94, 0.9),
    torque_nm=(60.0, 75.0, 70.0), power_kw=(12.6, 31.4, 44.0), wanted_peak_rpm=4500.0, peak_rpm=4000.0,
    cylinder_spread=0.01, length_chart_mm=(150.0, 200.0, 250.0), length_chart_rpm=(2000.0, 4000.0, 6000.0),
    length_chart_ve=((0.7, 0.9, 0.95), (0.8, 0.95, 0.9), (0.85, 0.9, 0.8)), peak_speed_at_mouth=92.0,
    mach_peak=(0.3, 0.3), residual=(0.05, 0.04, 0.04), cylinder_ve=((0.78, 0.8), (0.93, 0.95), (0.9, 0.9)),
    mach_along=tuple(MachAlong(runner=f"r{i}", place_mm=(5.0, 100.0, 250.0), mach=(0.2, 0.25, 0.3)) for i in (1, 2)),
    traces=Traces(
        rpm=4500.0, crank_deg=(180.0, 360.0, 540.0, 720.0), cylinder_bar=(1.0, 30.0, 4.0, 1.1), port_bar=(1.1, 1.0, 1.0, 0.9),
        plenum_bar=(1.0, 1.0, 0.99, 1.0), mouth_speed=(30.0, 0.0, -5.0, 20.0),
    ),
    sensitivity=(Change(what="runners 10 mm longer", about_wanted=0.004, near_highest=-0.01),),
    unequal=Unequal(differ_mm=0.4, about_wanted=0.001, near_highest=0.0, spread=0.01, spread_if_equal=0.001),
    bench=BenchFlow(
        depression_pa=6974.0, rows=(BenchRow(lift_mm=2.0, flow_l_s=30.0, port_alone_l_s=30.5),), incompressible_over=0.039
    ),
    notes=("an invented curve",),
    rules_of_thumb=(RuleOfThumb(name="resonator", value=4321.0, unit="1/min", label="invented"),),
)  # fmt: skip


@pytest.fixture(scope="session")
def described(tmp_path_factory: pytest.TempPathFactory) -> Contents:
    """What the description alone says: no air, no pieces, no plan."""
    folder = tmp_path_factory.mktemp("pair")
    (folder / "job.toml").write_text(SHEET, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(folder / "cache"))
        return check_job(folder, Watch(lambda _: None))


@pytest.fixture(scope="session")
def whole(described: Contents) -> Contents:
    """The same with breathing, pieces and plan."""
    case = described.case
    pieces = tuple(_plate(piece, case.design) for piece in case.design.pieces)
    reached = tuple(_reach(runner.name) for runner in case.design.runners)
    making = priced(plan(case.sheet, case.design, pieces, reached), case.sheet.shop)
    return replace(described, case=case.later(breathing=BREATHING, pieces=pieces, plan=making))


@pytest.fixture(scope="session")
def headless(whole: Contents) -> Contents:
    """The same where the head piece could not be built and the neck is a mesh only."""
    case = whole.case
    pieces = list(case.pieces or ())
    pieces[0] = nothing_built(case.design.pieces[0], KernelError("invented", "the kernel gave up"))
    pieces[-1] = replace(pieces[-1], solid=None, valid=False, rung="mesh", fallback="invented")
    making = priced(plan(case.sheet, case.design, tuple(pieces), ()), case.sheet.shop)
    return replace(whole, case=case.later(breathing=None, pieces=tuple(pieces), plan=making))


@pytest.fixture(autouse=True)
def _own_results(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every test keeps its results in its own folder."""
    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path / "cache"))
