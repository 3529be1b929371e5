"""What pressure and clamp do to a design: plain figures, judged elsewhere. mm, N, MPa, Hz, J."""

from dataclasses import dataclass, replace
from math import sqrt
from typing import Literal

from tractwright.geometry.frames import Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressures:
    """Pressures against the open air [MPa, 0.1 is one bar].

    steady : most that stays on, boost or the leak test's 0.35 bar, whichever is more; proof : the water test;
    backfire : what a backfire may make, for a moment; vacuum : least inside, throttle shut.
    """

    steady_mpa: float
    proof_mpa: float
    backfire_mpa: float
    vacuum_mpa: float

    @property
    def wall_mpa(self) -> float:
        """What a wall has to stand for ever, outwards or inwards."""
        return max(self.steady_mpa, self.vacuum_mpa)


@dataclass(frozen=True, slots=True, kw_only=True)
class JointLoad:
    """What holds a joint together against what parts it.

    sealed_area_mm2 : inside the seal; clamp_low_n : all screws together at the high nut factor, settled;
    separation_factor, backfire_factor : clamp_low_n over the parting force; spacing_mm : widest gap between neighbouring
    screws round the joint, spacing_limit_mm : what flange and seal allow; bow_mm : both flanges together opening midway in
    that gap at steady pressure, bow_limit_mm : what the seal follows.
    """

    joint: str
    sealed_area_mm2: float
    parting_n: float
    backfire_n: float
    clamp_low_n: float
    clamp_high_n: float
    separation_factor: float
    backfire_factor: float
    spacing_mm: float
    spacing_limit_mm: float
    bow_mm: float
    bow_limit_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SealLoad:
    """A cord in its groove: section [mm], squeeze and fill as shares, least radius of the groove's corners [mm]."""

    seal: str
    joint: str
    section_mm: float
    squeeze: float
    squeeze_least: float
    squeeze_most: float
    fill_nominal: float
    fill_worst: float
    corner_radius_mm: float
    corner_limit_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewLoad:
    """One tightened screw. clamp : at the high, stated and low nut factor; proof_used : shares of the proof load, stated and
    at the low nut factor; seat_ : pressure under head or washer, stated and at the low nut factor, and what the metal
    stands; engagement_mm : full thread that carries it, of an insert no more than its length; engagement_needed_mm : for
    the screw to break before the thread strips; engagement_for_clamp_mm : for 1.5 x the highest clamp.
    """

    screw: str
    joint: str
    clamp_low_n: float
    clamp_stated_n: float
    clamp_high_n: float
    proof_n: float
    proof_used_stated: float
    proof_used_high: float
    seat_stated_mpa: float
    seat_high_mpa: float
    seat_limit_mpa: float
    strip_n: float
    engagement_mm: float
    engagement_needed_mm: float
    engagement_for_clamp_mm: float


PlatePart = Literal["cover", "floor", "long wall", "end wall"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateLoad:
    """A flat wall as a plate. subject : path in the description; sides_mm : free span, long then short; edges : how it is
    held; allowed_mpa : for what stays on; yield_mpa : for a backfire; least_mm : thickness that stress asks for;
    frequency_hz : first of its own.
    """

    subject: str
    part: PlatePart
    edges: Literal["supported", "clamped"]
    sides_mm: tuple[float, float]
    thickness_mm: float
    stress_mpa: float
    backfire_mpa: float
    allowed_mpa: float
    yield_mpa: float
    bow_mm: float
    least_mm: float
    frequency_hz: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RunnerLoad:
    """A runner's wall, worst slice along it: where (fraction of the length), stresses, bow, least wall for the stress."""

    runner: str
    at_fraction: float
    wall_mm: float
    stress_mpa: float
    backfire_mpa: float
    allowed_mpa: float
    yield_mpa: float
    bow_mm: float
    least_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SolidPlate:
    """A flat side as measured on the solids: of which plate (its subject and part), stress, bow over its own corners."""

    subject: str
    part: PlatePart
    stress_mpa: float
    backfire_mpa: float
    bow_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SolidPiece:
    """A whole piece as measured on its solid. stress : the most that stays on, away from screws, peaks smaller than a cube
    of the wall's thickness left out; at_mm : where.
    """

    piece: str
    stress_mpa: float
    backfire_mpa: float
    allowed_mpa: float
    yield_mpa: float
    at_mm: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class SolidJoint:
    """A joint as measured on the solids: how far its faces open along the seal, with its cord's push."""

    joint: str
    opening_mm: float
    backfire_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OnSolids:
    """Finite elements of all built pieces, tied where screws press them together, fixed at the head's screws.

    frequencies_hz : the lowest of the whole, without throttle body, rail and hoses; unknowns : how many displacements were
    sought; notes : what was left out, and why. All empty where it could not be done.
    """

    plates: tuple[SolidPlate, ...]
    pieces: tuple[SolidPiece, ...]
    joints: tuple[SolidJoint, ...]
    frequencies_hz: tuple[float, ...]
    unknowns: int
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SpacerLoad:
    """An insulating spacer under its screws, and the heat past it. pressure_mpa : under the worst screw at the stated nut
    factor; limit_mpa : borne for good when warm; mass_kg; spacer_w_k, gaskets_w_k, screws_w_k : heat for one kelvin between
    head and flange through the spacer alone, through its two gaskets, through the screws; bare_w_k : through one gasket and
    the screws, were there no spacer.
    """

    spacer: str
    joint: str
    screw: str
    pressure_mpa: float
    limit_mpa: float
    mass_kg: float
    spacer_w_k: float
    gaskets_w_k: float
    screws_w_k: float
    bare_w_k: float

    @property
    def passes_w_k(self) -> float:
        """Heat past spacer, gaskets and screws together [W/K]."""
        through = 1.0 / (1.0 / self.spacer_w_k + 1.0 / self.gaskets_w_k) if self.gaskets_w_k else self.spacer_w_k
        return through + self.screws_w_k


@dataclass(frozen=True, slots=True, kw_only=True)
class Loads:
    """All of it. stored_energy_j : in all air inside at steady pressure, set free if it bursts; on_solids : None until the
    pieces are built.
    """

    pressures: Pressures
    joints: tuple[JointLoad, ...]
    seals: tuple[SealLoad, ...]
    screws: tuple[ScrewLoad, ...]
    plates: tuple[PlateLoad, ...]
    runners: tuple[RunnerLoad, ...]
    stored_energy_j: float
    spacers: tuple[SpacerLoad, ...] = ()
    on_solids: OnSolids | None = None

    @property
    def sides(self) -> tuple[PlateLoad, ...]:
        """The plates, each as measured on the solids where it was."""
        return tuple(_as_measured(plate, self.measured_plate(plate)) for plate in self.plates)

    def measured_plate(self, plate: PlateLoad) -> SolidPlate | None:
        """The same side as measured on the solids, of two alike the worse; None where it was not."""
        found = [one for one in self._solids.plates if (one.subject, one.part) == (plate.subject, plate.part)]
        return max(found, key=lambda one: one.stress_mpa, default=None)

    def measured_joint(self, joint: str) -> SolidJoint | None:
        """The same joint as measured on the solids; None where it was not."""
        return next((one for one in self._solids.joints if one.joint == joint), None)

    @property
    def first_hz(self) -> float | None:
        """The lowest natural frequency as measured on the solids; None where it was not."""
        return next(iter(self._solids.frequencies_hz), None)

    @property
    def _solids(self) -> OnSolids:
        nothing = OnSolids(plates=(), pieces=(), joints=(), frequencies_hz=(), unknowns=0, notes=())
        return self.on_solids or nothing


def _as_measured(plate: PlateLoad, found: SolidPlate | None) -> PlateLoad:
    """Stress goes as the square of the thickness: so does what it asks for."""
    if found is None:
        return plate
    return replace(
        plate,
        stress_mpa=found.stress_mpa,
        backfire_mpa=found.backfire_mpa,
        bow_mm=found.bow_mm,
        least_mm=plate.thickness_mm * sqrt(found.stress_mpa / plate.allowed_mpa),
    )
