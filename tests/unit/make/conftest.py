"""A small invented manifold of three that several tests of making are about."""

from pathlib import Path

import pytest
from row_sheets import row_sheet

from tractwright.design.records import Design
from tractwright.pipeline import check_job
from tractwright.watch import Watch

SHEET = row_sheet(
    job={"name": "invented triple"},
    runner={"length": "200 mm", "bore": "38 mm"},
    plenum={"volume": "1.2 l"},
    pattern={"port": [{"at": [-84, 0]}, {"at": [0, 0]}, {"at": [84, 0]}]},
)


@pytest.fixture(scope="session")
def design(tmp_path_factory: pytest.TempPathFactory) -> Design:
    """Its description."""
    folder: Path = tmp_path_factory.mktemp("triple")
    (folder / "job.toml").write_text(SHEET, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRACTWRIGHT_CACHE", str(folder / "cache"))
        return check_job(folder, Watch(lambda _: None)).case.design
