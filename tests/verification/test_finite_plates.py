"""Solids of tetrahedra against closed forms of plates and beams: Timoshenko and Woinowsky-Krieger; Leissa (1973).

Clamped round plate p a^4/(64 D) with what shear adds; clamped square and 2 : 1 plates 0.00126 and 0.00254 p b^4/D; a beam held
at one end F L^3/(3 E I) with what shear adds, and its first frequency by 1.8751^2.
"""

from math import pi, sqrt
from pathlib import Path

import numpy as np
import pytest

from tractwright.errors import KernelError
from tractwright.geometry.frames import Frame
from tractwright.kernel.primitives import extrude
from tractwright.kernel.solid import Solid
from tractwright.kernel.step import write_step
from tractwright.standards.materials import material
from tractwright.strength.finite.block import block
from tractwright.strength.finite.body import Body
from tractwright.strength.finite.elastic import (
    Held,
    held,
    held_by_n,
    moved_mm,
    of_metal,
    pressed_n,
    pulled_n,
    rings_hz,
    stresses_mpa,
    system,
)
from tractwright.strength.finite.mesher import Grain, meshed

METAL = material("6061-T651")
PRESSURE_MPA = 0.05


def disc(radius: float, thick: float) -> Solid:
    return extrude(((radius, 0.0, 1.0), (-radius, 0.0, 1.0)), Frame(), thick)


def plate_stiffness(thick: float) -> float:
    return METAL.modulus_mpa * thick**3 / (12.0 * (1.0 - METAL.poisson**2))


def clamped(body: Body, at: np.ndarray) -> Held:
    return held(system(body, *of_metal(body, METAL), np.repeat(at[:, None], 3, axis=1)))


def nearest(body: Body, place: tuple[float, float, float]) -> int:
    return int(np.argmin(np.linalg.norm(body.points_mm - np.array(place), axis=1)))


def test_round_plate_of_an_exact_solid(tmp_path: Path):
    """From a STEP file through the mesher: bow in the middle and stress there, within 1 % and 2 %."""
    radius, thick = 50.0, 2.0
    path = tmp_path / "plate.step"
    write_step([("plate", disc(radius, thick))], path, "plate")
    found = meshed((path,), Grain(largest_mm=2.0, smallest_mm=1.0, a_turn=160.0), at_once=1, limit_seconds=60.0)[0]
    assert not isinstance(found, KernelError)
    bound = clamped(found, np.hypot(*found.points_mm.T[:2]) > radius * 0.999)
    pushed = found.skin.part(found.skin.normals[:, 2] < -0.9)
    moved = moved_mm(bound, pressed_n(pushed, len(found.points_mm), PRESSURE_MPA))
    shear = METAL.modulus_mpa / (2.0 * (1.0 + METAL.poisson))
    bow = PRESSURE_MPA * radius**4 / (64.0 * plate_stiffness(thick)) + PRESSURE_MPA * radius**2 / (
        4.0 * 5.0 / 6.0 * shear * thick
    )
    middle = nearest(found, (0.0, 0.0, thick / 2.0))
    near = np.hypot(*found.points_mm.T[:2]) < 8.0
    assert moved[near, 2].max() == pytest.approx(bow, rel=0.01)
    assert moved[middle, 2] == pytest.approx(bow, rel=0.02)
    top = near & (found.points_mm[:, 2] > thick - 1e-6)
    wanted = 6.0 * PRESSURE_MPA * radius**2 / 16.0 * (1.0 + METAL.poisson) / thick**2
    assert stresses_mpa(bound, moved)[top, 0].max() == pytest.approx(wanted, rel=0.05)


def test_the_same_file_gives_the_same_mesh(tmp_path: Path):
    path = tmp_path / "plate.step"
    write_step([("plate", disc(20.0, 5.0))], path, "plate")
    grain = Grain(largest_mm=5.0, smallest_mm=2.0)
    one, two = meshed((path, path), grain, at_once=1, limit_seconds=60.0)
    assert not isinstance(one, KernelError)
    assert not isinstance(two, KernelError)
    assert np.array_equal(one.points_mm, two.points_mm)
    assert np.array_equal(one.tets, two.tets)


@pytest.mark.parametrize(("ratio", "factor"), [(1, 0.00126), (2, 0.00254)])
def test_rectangular_plates(ratio: int, factor: float):
    """Bow of plates clamped all round and first frequency of the square, within 1 %: a quarter, thin, finer to its edges.

    Frequency: 35.985, a Ritz series; the 35.992 of the published table is from memory.
    """
    half, thick = 50.0, 1.0
    line = half * (1.0 - (1.0 - np.linspace(0.0, 1.0, 31)) ** 1.3)
    body = block((ratio * line, line, np.array([0.0, thick])), lambda grid: grid)
    x, y = body.points_mm.T[:2]
    edge = (x > ratio * half - 1e-9) | (y > half - 1e-9)
    given = np.column_stack([edge | (x < 1e-9), edge | (y < 1e-9), edge])
    bound = held(system(body, *of_metal(body, METAL), given))
    top = body.skin.part(body.skin.normals[:, 2] > 0.9)
    moved = moved_mm(bound, pressed_n(top, len(body.points_mm), -PRESSURE_MPA))
    bow = moved[nearest(body, (0.0, 0.0, thick / 2.0)), 2]
    assert bow == pytest.approx(factor * PRESSURE_MPA * (2.0 * half) ** 4 / plate_stiffness(thick), rel=0.01)
    if ratio == 1:
        mass = METAL.density_kg_mm3 * 1e-3 * thick
        wanted = 35.985 / (2.0 * half) ** 2 * sqrt(plate_stiffness(thick) / mass) / (2.0 * pi)
        assert rings_hz(bound, 1)[0][0] == pytest.approx(wanted, rel=0.01)


def test_beam_held_at_one_end():
    """Tip, the force that holds it, stress half way along, first frequency: within 1 %."""
    long, wide, thick, force = 400.0, 10.0, 10.0, 100.0
    body = block((np.linspace(0.0, long, 81), np.linspace(0.0, wide, 3), np.linspace(0.0, thick, 3)), lambda grid: grid)
    foot = body.points_mm[:, 0] < 1e-9
    bound = clamped(body, foot)
    end = body.skin.part(body.skin.normals[:, 0] > 0.9)
    moved = moved_mm(bound, pulled_n(end, len(body.points_mm), np.array([0.0, 0.0, force / (wide * thick)])))
    inertia, shear = wide * thick**3 / 12.0, METAL.modulus_mpa / (2.0 * (1.0 + METAL.poisson))
    tip = force * long**3 / (3.0 * METAL.modulus_mpa * inertia) + 1.2 * force * long / (shear * wide * thick)
    assert moved[nearest(body, (long, wide / 2.0, thick / 2.0)), 2] == pytest.approx(tip, rel=0.01)
    assert held_by_n(bound, moved)[foot].sum(axis=0) == pytest.approx([0.0, 0.0, -force], abs=1e-4)
    stress = stresses_mpa(bound, moved)[nearest(body, (long / 2.0, wide / 2.0, 0.0)), 0]
    assert stress == pytest.approx(force * long / 2.0 * thick / 2.0 / inertia, rel=0.01)
    line_mass = METAL.density_kg_mm3 * 1e-3 * wide * thick
    first = 1.87510407**2 / (2.0 * pi * long**2) * sqrt(METAL.modulus_mpa * inertia / line_mass)
    assert rings_hz(bound, 1)[0][0] == pytest.approx(first, rel=0.01)
