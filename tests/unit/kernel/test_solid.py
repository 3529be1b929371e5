"""A solid is a value: packed, pickled and opened it is the same; asking for one of several is refused."""

import pickle

import numpy as np
import pytest
from OCP.BRep import BRep_Builder
from OCP.TopoDS import TopoDS_Compound

from tractwright.errors import KernelError
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle, outline_contour
from tractwright.kernel.measure import fineness, volume
from tractwright.kernel.mesh import tessellate
from tractwright.kernel.packed import PackedSolid
from tractwright.kernel.primitives import extrude
from tractwright.kernel.solid import one_solid, solid_from_bytes, solid_to_bytes

PIN = outline_contour(circle(10.0))


def test_packed_and_opened():
    solid = extrude(PIN, Frame(), 20.0)
    back = pickle.loads(pickle.dumps(PackedSolid(solid_to_bytes(solid)))).opened()
    assert volume(back) == volume(solid)
    assert np.array_equal(tessellate(back)[0], tessellate(solid)[0])
    assert fineness(back) == fineness(solid)


def test_bytes_do_not_hang_on_whether_it_was_drawn():
    solid = extrude(PIN, Frame(), 20.0)
    before = solid_to_bytes(solid)
    tessellate(solid)
    assert solid_to_bytes(solid) == before


def test_bytes_of_nothing_are_refused():
    with pytest.raises(KernelError, match="reading a solid from bytes"):
        solid_from_bytes(b"")


def test_two_solids_are_not_one():
    pair, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(pair)
    for height in (10.0, 20.0):
        builder.Add(pair, extrude(PIN, Frame(), height).shape)
    with pytest.raises(KernelError, match="pair of pins: 2 solids"):
        one_solid(pair, "pair of pins")
