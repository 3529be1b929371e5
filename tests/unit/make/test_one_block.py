"""Head and middle piece from one block, reckoned from a plan of two: what is cut at their joint and its flanges are gone."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from row_sheets import LARGER, row_sheet

from tractwright.job.shop_tables import Shop
from tractwright.kernel.measure import volume
from tractwright.kernel.mesh import tessellate
from tractwright.kernel.packed import PackedSolid
from tractwright.kernel.primitives import extrude
from tractwright.kernel.solid import solid_to_bytes
from tractwright.make.alternatives import alternatives_of
from tractwright.make.records import MakingPlan, Operation, Setup
from tractwright.make.stock import stock_of
from tractwright.pipeline import check_job
from tractwright.shape.records import BuiltPiece
from tractwright.watch import Watch


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory):
    """A pair's description in two pieces across the runners, each stood in for by its first flange."""
    folder: Path = tmp_path_factory.mktemp("two")
    given = LARGER | {"runner": LARGER["runner"] | {"pieces": "two"}}
    (folder / "job.toml").write_text(row_sheet(**given), encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(folder / "cache"))
        design = check_job(folder, Watch(lambda _: None)).case.design
    return design, tuple(_plate(p, design) for p in design.pieces if p.kind in ("head", "middle"))


def _plate(piece, design) -> BuiltPiece:
    flange = next(item for item in design.flanges if item.piece == piece.name)
    solid = extrude(flange.contour, flange.frame, flange.thickness_mm)
    held = volume(solid)
    return BuiltPiece(
        name=piece.name, kind=piece.kind, solid=PackedSolid(solid_to_bytes(solid)), mesh=tessellate(solid), valid=True,
        watertight=True, solids=1, volume_mm3=held, twin_volume_mm3=held, mass_kg=held * 2.7e-6, blends_wanted=0,
        blends_made=0, rung="", fallback="",
    )  # fmt: skip


def _foretold(two, operations):
    """The one block as an alternative to a plan whose middle piece takes one set-up with these operations."""
    design, built = two
    shop = Shop()
    middle = next(piece for piece in built if piece.kind == "middle")
    setup = Setup(
        name="middle 1", piece=middle.name, machine="3-axis", direction=(0.0, 0.0, 1.0), holds_by="vice", needs=(), makes=(),
        reaches_fraction=1.0, tools=(), minutes=(100.0, 200.0), operations=operations,
    )  # fmt: skip
    making = MakingPlan(
        stocks=tuple(stock_of(shop, design, piece) for piece in built), passages=(), setups=(setup,), currency="", price=(),
        notes=(),
    )  # fmt: skip
    return next(one for one in alternatives_of(shop, design, built, making) if "from one block" in one.what)


def test_what_is_cut_at_the_joint_is_saved_to_the_minute(two):
    """Two operations of 5 to 9 minutes at the split face, one elsewhere: 10 to 18 minutes less than with none."""
    cut = Operation(what="split face finished", tools=(), minutes=(5.0, 9.0), how="")
    cuts = (cut, replace(cut, what="split face dowel holes"), replace(cut, what="mouth face finished"))
    without, found = _foretold(two, ()), _foretold(two, cuts)
    saved = np.subtract(without.effort.mill_h, found.effort.mill_h) * 60.0
    np.testing.assert_allclose(saved, (10.0, 18.0), atol=1e-9)
    assert found.effort.pieces == 1
    assert found.effort.stock_kg == pytest.approx(without.effort.stock_kg)
