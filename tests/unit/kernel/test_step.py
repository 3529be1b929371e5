"""STEP: names kept, bytes the same, units millimetres, broken files refused."""

import pytest

from tractwright.errors import KernelError
from tractwright.geometry.frames import frame_from_normal
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.kernel.measure import volume
from tractwright.kernel.mesh import tessellate
from tractwright.kernel.primitives import extrude
from tractwright.kernel.step import read_step, write_step

FRAME = frame_from_normal((3, 4, 5), (1, 2, 3), (1, 0, 0))


@pytest.fixture
def pair():
    pin = extrude(outline_contour(circle(10.0)), FRAME, 20.0)
    cap = extrude(outline_contour(circle(16.0)), FRAME.moved((0.0, 0.0, 20.0)), 4.0)
    return (("pin", pin), ("cap", cap))


def test_the_same_pieces_give_the_same_bytes(pair, tmp_path):
    for pieces in (pair, pair[:1]):
        files = [tmp_path / name for name in ("first.step", "second.step")]
        for file in files:
            write_step(pieces, file, "whole")
        assert files[0].read_bytes() == files[1].read_bytes()


def test_pieces_come_back_in_place_with_their_names(pair, tmp_path):
    file = tmp_path / "whole.step"
    write_step(pair, file, "whole")
    back = read_step(file)
    assert [volume(solid) for solid in back] == pytest.approx([volume(solid) for _, solid in pair])
    for solid, (_, wanted) in zip(back, pair, strict=True):
        corners, wanted_corners = tessellate(solid)[0], tessellate(wanted)[0]
        assert corners.min(axis=0) == pytest.approx(wanted_corners.min(axis=0), abs=1e-5)
        assert corners.max(axis=0) == pytest.approx(wanted_corners.max(axis=0), abs=1e-5)
    text = file.read_text()
    assert all(f"PRODUCT('{name}','{name}'" in text for name in ("whole", "pin", "cap"))


def test_a_file_that_is_no_step_file_is_refused(tmp_path):
    file = tmp_path / "no.step"
    file.write_text("not a STEP file")
    with pytest.raises(KernelError, match="reading STEP"):
        read_step(file)
    with pytest.raises(KernelError, match="reading STEP"):
        read_step(tmp_path / "absent.step")
