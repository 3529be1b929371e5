"""The plenum's flat sides as plates, the runners' walls as rings."""

from dataclasses import dataclass

import numpy as np

from tractwright.design.records import Design, Flange, Plenum, Runner
from tractwright.design.tube import schedule_at, sections_at
from tractwright.geometry.frames import Array
from tractwright.standards.materials import Material, material
from tractwright.strength.plates import (
    Edges,
    plate_bow_mm,
    plate_frequency_hz,
    plate_stress_mpa,
    plate_thickness_mm,
)
from tractwright.strength.records import PlateLoad, PlatePart, Pressures, RunnerLoad
from tractwright.strength.rings import ring_state, ring_wall_mm

_STATIONS = 9
_ANGLES = 144
_LEAST_LEFT = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """A flat side: how held, its free span, thickness, the share of metal that holes leave along their row."""

    part: PlatePart
    edges: Edges
    sides_mm: tuple[float, float]
    thickness_mm: float
    left: float = 1.0


def plenum_plates(plenum: Plenum, design: Design, pressures: Pressures) -> tuple[PlateLoad, ...]:
    """Floor, a long and an end wall, and the cover, free span from mid wall to mid wall.

    Cover and walls count as simply supported: a screwed edge turns, and a long wall clamped at the floor and propped by the
    cover is stressed as much as one supported at both (p b^2/8). The floor grows out of the walls: clamped; what its mouths
    take away comes back as stress and bow, by the share of metal left between them.
    """
    across = plenum.width_mm + plenum.wall_mm, plenum.height_mm + plenum.wall_mm
    deep = plenum.depth_mm + plenum.floor_mm / 2.0
    subject = f"plenum.{plenum.name}"
    floor = _nearest_flange(design, "plenum", np.array(plenum.frame.origin_mm))
    metal = _metal(design, floor, "plenum")
    sides = (
        _Side(
            part="floor",
            edges="clamped",
            sides_mm=across,
            thickness_mm=plenum.floor_mm,
            left=metal_left(plenum, design),
        ),
        _Side(part="long wall", edges="supported", sides_mm=(max(across), deep), thickness_mm=plenum.wall_mm),
        _Side(part="end wall", edges="supported", sides_mm=(min(across), deep), thickness_mm=plenum.wall_mm),
    )
    plates = tuple(_plate_load(subject, side, metal, pressures) for side in sides)
    top = plenum.frame.to_world(np.array([*plenum.centre_mm, plenum.floor_mm + plenum.depth_mm]))
    cover = _nearest_flange(design, "cover", top)
    if cover is None:
        return plates
    lid = _Side(part="cover", edges="supported", sides_mm=across, thickness_mm=cover.thickness_mm)
    return (*plates, _plate_load(f"flange.{cover.name}", lid, _metal(design, cover, "cover"), pressures))


def runner_load(runner: Runner, design: Design, pressures: Pressures) -> RunnerLoad:
    """The worst slice of a runner's wall under what stays on, each station's own section and wall."""
    fraction = np.linspace(0.0, 1.0, _STATIONS)
    walls = schedule_at(runner.wall_mm, fraction)
    inner, outer = sections_at(runner, design, fraction, _ANGLES)
    metal, pressure = _metal(design, None, "head"), pressures.wall_mpa
    stresses, bows, needed = np.zeros(_STATIONS), np.zeros(_STATIONS), np.zeros(_STATIONS)
    for k, wall in enumerate(walls.tolist()):
        state = ring_state((inner[k] + outer[k]) / 2.0, pressure, wall, metal.modulus_mpa, metal.poisson)
        stresses[k] = state.stress_mpa(wall).max()
        bows[k] = np.abs(state.bow_mm).max()
        needed[k] = ring_wall_mm(state, metal.allowable_mpa)
    worst = int(np.argmax(stresses))
    return RunnerLoad(
        runner=runner.name,
        at_fraction=float(fraction[worst]),
        wall_mm=float(walls[worst]),
        stress_mpa=float(stresses[worst]),
        backfire_mpa=float(stresses[worst]) * pressures.backfire_mpa / pressure,
        allowed_mpa=metal.allowable_mpa,
        yield_mpa=metal.yield_mpa,
        bow_mm=float(bows.max()),
        least_mm=float(needed.max()),
    )


def metal_left(plenum: Plenum, design: Design) -> float:
    """Share of the floor's metal left along the row of mouths, at the closest pair."""
    mouths = [runner.mouth for runner in design.runners if runner.mouth.plenum == plenum.name]
    if not mouths:
        return 1.0
    places = np.array([mouth.at_mm for mouth in mouths])
    bores = np.array([mouth.bore_mm for mouth in mouths])
    gaps = np.linalg.norm(places[:, None, :] - places[None, :, :], axis=2)
    np.fill_diagonal(gaps, max(plenum.width_mm, plenum.height_mm))
    taken = (bores[:, None] + bores[None, :]) / 2.0 / np.maximum(gaps, 1e-6)
    return max(_LEAST_LEFT, 1.0 - float(taken.max()))


def _plate_load(subject: str, side: _Side, metal: Material, pressures: Pressures) -> PlateLoad:
    long_mm, short_mm = max(side.sides_mm), min(side.sides_mm)
    sides, thick = (long_mm, short_mm), side.thickness_mm
    stress = plate_stress_mpa(side.edges, sides, thick, pressures.wall_mpa) / side.left
    return PlateLoad(
        subject=subject,
        part=side.part,
        edges=side.edges,
        sides_mm=sides,
        thickness_mm=thick,
        stress_mpa=stress,
        backfire_mpa=stress * pressures.backfire_mpa / pressures.wall_mpa,
        allowed_mpa=metal.allowable_mpa,
        yield_mpa=metal.yield_mpa,
        bow_mm=plate_bow_mm(side.edges, sides, thick, pressures.wall_mpa, metal) / side.left,
        least_mm=plate_thickness_mm(side.edges, sides, pressures.wall_mpa / side.left, metal.allowable_mpa),
        frequency_hz=plate_frequency_hz(side.edges, sides, thick, metal) * side.left**0.5,
    )


def _nearest_flange(design: Design, kind: str, place_mm: Array) -> Flange | None:
    """The flange of a piece of that kind, on a joint, nearest to a place."""
    names = {piece.name for piece in design.pieces if piece.kind == kind}
    found = [flange for flange in design.flanges if flange.piece in names]
    return min(found, key=lambda f: float(np.linalg.norm(np.array(f.frame.origin_mm) - place_mm)), default=None)


def _metal(design: Design, flange: Flange | None, kind: str) -> Material:
    """The metal of a flange's piece; without a flange, of the first piece of that kind, or of any."""
    wanted = [p for p in design.pieces if (p.name == flange.piece if flange is not None else p.kind == kind)]
    return material((wanted or list(design.pieces))[0].material)
