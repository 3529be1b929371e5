"""A changed rate is worked out in the price alone: every kept stage of the whole job is found as it was."""

from pathlib import Path
from typing import Any

import pytest
from row_sheets import LARGER, row_sheet

from tractwright import pipeline
from tractwright.packet.contents import Contents
from tractwright.watch import Watch

RATE = "set-ups and cutting"


@pytest.fixture
def job(whole: Contents, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Runs the job with a [shop] table: its contents, and which kept stages were made. Pieces are the plates that stand in."""
    case, made = whole.case, list[str]()
    real = pipeline.kept

    def spied(stage: str, inputs: tuple[object, ...], make: Any, **given: Any) -> Any:
        def counted() -> Any:
            made.append(stage)
            return make()

        return real(stage, inputs, counted, **given)

    monkeypatch.setenv("TRACTWRIGHT_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(pipeline, "kept", spied)
    monkeypatch.setattr(pipeline, "result", lambda *_: case.breathing)
    monkeypatch.setattr(pipeline, "build", lambda *_: case.pieces)
    monkeypatch.setattr(pipeline, "reaches", lambda *_: case.plan.passages)
    monkeypatch.setattr(pipeline, "write_packet", lambda _: None)
    (tmp_path / "packet").mkdir()

    def run(**shop: object) -> tuple[Contents, list[str]]:
        made.clear()
        (tmp_path / "job.toml").write_text(row_sheet(**LARGER, shop=shop), encoding="utf-8")
        (tmp_path / "design.toml").unlink(missing_ok=True)
        return pipeline.run_job(tmp_path, Watch(lambda _: None)), list(made)

    return run


def test_a_rate_moves_the_price_and_makes_no_stage_again(job: Any):
    """The hour at 100 in place of 75: set-ups and cutting cost a third more, to the cent; nothing that is kept is made again.
    A higher riser, which is no rate, is planned again.
    """
    first, made = job(rate_hour=75.0)
    assert {"description", "air", "solids", "reach", "making"} <= set(made)
    second, again = job(rate_hour=100.0)
    assert again == []
    before, after = ({line.what: line for line in one.case.plan.price} for one in (first, second))
    assert after[RATE].low == pytest.approx(before[RATE].low * 4.0 / 3.0, rel=1e-12)
    assert after["plate, sawn"] == before["plate, sawn"]
    assert second.case.plan.setups == first.case.plan.setups
    _, replanned = job(rate_hour=100.0, riser="60 mm")
    assert "making" in replanned
