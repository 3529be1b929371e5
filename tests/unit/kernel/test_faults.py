"""Whatever the kernel throws reaches us as a KernelError; our own mistakes stay what they are."""

import pytest
from OCP.gp import gp_Dir

from tractwright.errors import KernelError
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.primitives import extrude


def test_the_kernels_exception_names_the_step():
    with pytest.raises(KernelError, match="a direction: the kernel gave up"), kernel_step("a direction"):
        gp_Dir(0.0, 0.0, 0.0)


def test_other_exceptions_pass():
    with pytest.raises(ZeroDivisionError), kernel_step("a division"):
        _ = 1 / 0


def test_a_prism_without_height_is_a_kernel_error():
    with pytest.raises(KernelError, match="extruding a contour"):
        extrude(outline_contour(circle(10.0)), Frame(), 0.0)
