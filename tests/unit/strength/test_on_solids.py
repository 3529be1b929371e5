"""Bodies tied where they are pressed together, what the air touches, and what is taken from the answer."""

from dataclasses import replace

import numpy as np
import pytest
from plenum_pieces import Box, plenum_pieces

from tractwright.errors import KernelError
from tractwright.geometry.frames import Array, Frame
from tractwright.job.engine_tables import AirSupply
from tractwright.shape.records import nothing_built
from tractwright.standards.materials import material
from tractwright.strength.finite.block import block
from tractwright.strength.finite.body import Body, body, side_by_side
from tractwright.strength.finite.elastic import (
    held,
    moved_mm,
    of_metal,
    pressed_n,
    pulled_n,
    rings_hz,
    system,
)
from tractwright.strength.finite.ties import tied
from tractwright.strength.inside import Bores, in_plane, pressed_inside
from tractwright.strength.on_solids import on_solids
from tractwright.strength.pressure import pressures_of
from tractwright.strength.records import Loads, OnSolids, SolidPlate
from tractwright.strength.walls import plenum_plates

METAL = material("6061-T651")
HALF = Frame(origin_mm=(50.0, 0.0, 0.0), x=(0.0, 1.0, 0.0), y=(0.0, 0.0, 1.0), z=(1.0, 0.0, 0.0))


def bar(low: float, high: float, cells: int, across: int) -> Body:
    side = np.linspace(0.0, 10.0, across + 1)
    return block((np.linspace(low, high, cells + 1), side, side), lambda grid: grid)


def tip_and_ring(whole: Body, parts: tuple[Body, ...]) -> tuple[float, float]:
    """Tip of a bar of 100 x 10 x 10 held at one end under 10 N, and its lowest frequency."""
    elastic, density = of_metal(whole, METAL)
    free = system(whole, elastic, density, np.repeat((whole.points_mm[:, 0] < 1e-9)[:, None], 3, axis=1))
    ties = None
    if len(parts) == 2:
        first, second = parts[0].skin, parts[1].skin.after(len(parts[0].points_mm))
        pair = (one.part(in_plane(one, HALF)) for one in (first, second))
        ties = tied(whole, free.number, *pair, HALF, METAL.modulus_mpa)
    bound = held(free, ties)
    end = whole.skin.part((whole.skin.normals[:, 0] > 0.9) & (whole.skin.middles_mm[:, 0] > 99.9))
    moved = moved_mm(bound, pulled_n(end, len(whole.points_mm), np.array([0.0, 0.0, 0.1])))
    tip = whole.points_mm[:, 0] > 99.9
    return float(moved[tip, 2].mean()), float(rings_hz(bound, 1)[0][0])


def test_two_halves_tied_are_as_one():
    """The same bar in one piece, and in two of different meshes tied over their whole faces: within 3 %."""
    one = tip_and_ring(bar(0.0, 100.0, 20, 3), ())
    halves = (bar(0.0, 50.0, 10, 3), bar(50.0, 100.0, 12, 4))
    two = tip_and_ring(side_by_side(halves)[0], halves)
    assert two == pytest.approx(one, rel=0.03)


def test_halves_that_nothing_ties_are_not_held():
    whole, _ = side_by_side((bar(0.0, 50.0, 4, 2), bar(50.0, 100.0, 4, 2)))
    foot = np.repeat((whole.points_mm[:, 0] < 1e-9)[:, None], 3, axis=1)
    with pytest.raises(KernelError, match="not held"):
        held(system(whole, *of_metal(whole, METAL), foot))


def hollow(open_side: bool) -> Body:
    """A block of 60 mm with a hole of 20 mm square through it along z; with a slot to its side, or without."""
    line = np.linspace(-30.0, 30.0, 7)
    full = block((line, line, line), lambda grid: grid)
    middles = full.points_mm[full.tets[:, :4]].mean(axis=1)
    gone = (np.abs(middles[:, 0]) < 10.0) & (np.abs(middles[:, 1]) < 10.0)
    if open_side:
        gone |= (middles[:, 0] > 0.0) & (np.abs(middles[:, 1]) < 10.0) & (np.abs(middles[:, 2]) < 10.0)
    used, tets = np.unique(full.tets[~gone, :4], return_inverse=True)
    return body(full.points_mm[used], tets.reshape(-1, 4))


def ends(solid: Body) -> Array:
    return np.abs(solid.skin.normals[:, 2]) * (np.abs(solid.skin.middles_mm[:, 2]) > 29.9) > 0.9


AXIS = Bores(points_mm=np.array([[0.0, 0.0, -15.0], [0.0, 0.0, 15.0]]), radius_mm=np.full(2, 12.0))


def test_air_presses_on_the_bore_and_nothing_else():
    """Plain geometry: four walls of 20 x 60 mm; even pressure on them balances."""
    solid = hollow(open_side=False)
    inside = pressed_inside(solid.skin, solid.points_mm, ends(solid), AXIS)
    assert inside is not None
    skin = solid.skin.part(inside)
    assert skin.area_mm2.sum() == pytest.approx(4 * 20.0 * 60.0)
    assert np.all(np.abs(skin.middles_mm[:, :2]).max(axis=1) == pytest.approx(10.0))
    forces = pressed_n(skin, len(solid.points_mm), 2.0)
    assert forces.sum(axis=0) == pytest.approx([0.0, 0.0, 0.0], abs=1e-6)
    right = solid.points_mm[:, 0] > 9.9
    assert forces[right, 0].sum() == pytest.approx(2.0 * 20.0 * 60.0)


def test_an_inside_that_opens_to_the_outside_is_told():
    solid = hollow(open_side=True)
    assert pressed_inside(solid.skin, solid.points_mm, ends(solid), AXIS) is None


def test_a_piece_that_was_not_built_leaves_a_note():
    design = plenum_pieces(Box())
    pieces = tuple(nothing_built(piece, KernelError("invented", "gave up")) for piece in design.pieces)
    found = on_solids(AirSupply(), design, pieces)
    assert not found.unknowns
    assert "not every piece was built" in found.notes[0]


def test_measured_sides_stand_in_the_formulas_place():
    """Bending stress goes as 1/t^2: a side at four times its allowance needs twice its thickness."""
    design, pressures = plenum_pieces(Box()), pressures_of(AirSupply())
    plates = plenum_plates(design.plena[0], design, pressures)
    plain = Loads(pressures=pressures, joints=(), seals=(), screws=(), plates=plates, runners=(), stored_energy_j=0.0)
    plate = plain.plates[0]
    found = SolidPlate(
        subject=plate.subject, part=plate.part, stress_mpa=4.0 * plate.allowed_mpa, backfire_mpa=9.0, bow_mm=0.5
    )
    nothing = OnSolids(plates=(), pieces=(), joints=(), frequencies_hz=(), unknowns=0, notes=())
    measured = replace(plain, on_solids=replace(nothing, plates=(found,), frequencies_hz=(120.0, 150.0)))
    assert measured.sides[0].stress_mpa == found.stress_mpa
    assert measured.sides[0].least_mm == pytest.approx(2.0 * plate.thickness_mm)
    assert measured.sides[1:] == plain.plates[1:]
    assert measured.first_hz == 120.0
    assert plain.sides == plain.plates
    assert plain.first_hz is None
