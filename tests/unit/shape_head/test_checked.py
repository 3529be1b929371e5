"""Checked booleans: a result that the meshes do not bear out is refused, and what was needed is recorded."""

from dataclasses import replace
from math import pi

import pytest

from tractwright.errors import KernelError
from tractwright.geometry.frames import Frame
from tractwright.kernel.checked import Checked, checked, cut, fused
from tractwright.kernel.measure import volume
from tractwright.kernel.primitives import extrude, revolve
from tractwright.kernel.twins import twin_of_prism, twin_of_revolution

SQUARE = ((-20.0, -20.0, 0.0), (20.0, -20.0, 0.0), (20.0, 20.0, 0.0), (-20.0, 20.0, 0.0))


def block() -> Checked:
    return Checked(solid=extrude(SQUARE, Frame(), 10.0), twin=twin_of_prism(SQUARE, Frame(), 10.0))


def rod(radius: float):
    return ((0.0, 0.0, 0.0), (radius, 0.0, 0.0), (radius, 20.0, 0.0), (0.0, 20.0, 0.0))


def pin(x: float, radius: float = 5.0) -> Checked:
    frame = Frame(origin_mm=(x, 0.0, -1.0))
    return Checked(solid=revolve(rod(radius), frame), twin=twin_of_revolution(rod(radius), frame))


def test_a_hole_and_a_pin_have_their_closed_form_volumes():
    assert volume(cut(block(), [pin(0.0)], "a hole").solid) == pytest.approx(16000 - pi * 25 * 10, rel=1e-6)
    whole = fused(block(), [pin(0.0)], "a pin")
    assert volume(whole.solid) == pytest.approx(16000 + pi * 25 * 10, rel=1e-6)
    assert whole.rungs == ()


def test_a_result_the_meshes_do_not_bear_out_is_refused():
    lying = replace(pin(0.0), twin=pin(0.0, radius=6.0).twin)
    with pytest.raises(KernelError, match="volume changes by") as refused:
        cut(block(), [lying], "a hole that lies")
    assert refused.value.step == "a hole that lies"


def test_two_separate_solids_are_refused():
    with pytest.raises(KernelError, match="2 solids"):
        fused(block(), [pin(60.0)], "a pin beside it")


def test_a_body_can_be_its_own_twin():
    own = checked(revolve(rod(5.0), Frame()))
    assert own.twin.volume() == pytest.approx(pi * 25 * 20, rel=5e-3)  # chords of 0.02 mm on a radius of 5
