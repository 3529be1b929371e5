"""The network of an engine at a speed: supply, duct, throttles, plena, runners, ports, valves, cylinders, exhaust pipes.

SI units, degrees of crank.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from tractwright.air.breather import Breather, PlenumAir
from tractwright.air.engine import (
    HEAT_OF_AIR,
    exhaust_pressure,
    firing_phases,
    intake_valves,
    supply_temperature,
)
from tractwright.air.exhaust import lay_exhaust
from tractwright.air.laying import (
    EXHAUST_TEMPERATURE,
    Laying,
    Stretch,
    cold_pipe,
    even_pipe,
    port_behind,
    seat_area_of,
    with_port,
)
from tractwright.air.losses import FLANGED_END, UNFLANGED_END, entry_loss, plate_share, throat_of_loss
from tractwright.air.network.build import build
from tractwright.air.network.bundles import Network, State
from tractwright.air.network.parts import End, Piston, Volume
from tractwright.air.valves import effective_area

Array = npt.NDArray[np.float64]

BURN_START, BURN_LENGTH = 337.0, 60.0  # engine_judgement: half burnt about 8 degrees after top dead centre
CYLINDER_WALL = 430.0  # engine_judgement
THROTTLE_BODY = 0.060  # engine_judgement: length of the body before the neck [m]
ROW_SHARE = 0.7  # of a row's pitch and section: pipes between its volumes, of the row's own inertance and half its air


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Assembly:
    """A network with its state, and where things are: of each cylinder by number its volume and the high ends of the pipes
    at its intake valves; the volumes of each plenum; the pipe of each runner.
    """

    network: Network
    state: State
    cylinders: tuple[int, ...]
    inlet_ends: tuple[tuple[int, ...], ...]
    plena: tuple[tuple[int, ...], ...]
    runners: tuple[int, ...]


def assembled(breather: Breather, rpm: float) -> Assembly:
    """The network of an engine at a speed [1/min], and its state at the start."""
    parts = Laying(breather=breather)
    back = exhaust_pressure(breather.engine, breather.air, rpm)
    outside = parts.space(None)
    behind = parts.volume(Volume(pressure=back, temperature=EXHAUST_TEMPERATURE, burnt=1.0))
    before = _before_throttles(parts, outside)
    plena = tuple(_plenum(parts, plenum, before) for plenum in breather.intake.plena)
    phases = firing_phases(breather.engine)
    numbers = sorted(phases)
    cylinders = {number: parts.volume(_cylinder(breather, phases[number], back)) for number in numbers}
    runners, inlet_ends = _tracts(parts, plena, cylinders)
    for plenum, volumes in zip(breather.intake.plena, plena, strict=True):
        _throttles(parts, plenum, before, volumes)
    closed = [volumes for plenum, volumes in zip(breather.intake.plena, plena, strict=True) if plenum.size is not None]
    _balance(parts, closed)
    lay_exhaust(parts, cylinders, behind, back)
    network, state = build(parts.pipes, parts.volumes, parts.throats)
    return Assembly(
        network=network,
        state=state,
        cylinders=tuple(cylinders[number] for number in numbers),
        inlet_ends=tuple(tuple(inlet_ends[number]) for number in numbers),
        plena=plena,
        runners=runners,
    )


def _plenum(parts: Laying, plenum: PlenumAir, before: int) -> tuple[int, ...]:
    """What lies before where there is no plenum; else one volume, or a row of them with pipes between: the row's air swings
    with the inertance of its whole length.

    A pipe of the share s of pitch and section has all the inertance of the pitch and s^2 of its air.
    """
    if plenum.size is None:
        return (before,)
    if plenum.parts == 1:
        return (parts.space(plenum.size),)
    pitch, section = plenum.length / plenum.parts, plenum.size / plenum.length
    link = Stretch(places=np.array([0.0, ROW_SHARE * pitch]), area=np.full(2, ROW_SHARE * section))
    in_links = (plenum.parts - 1) * ROW_SHARE**2 * pitch * section
    volumes = tuple(parts.space((plenum.size - in_links) / plenum.parts) for _ in range(plenum.parts))
    warm = supply_temperature(parts.breather.air)
    for a, b in pairwise(volumes):
        parts.pipe(cold_pipe(parts.breather, link, (End(volume=a), End(volume=b)), warm))
    return volumes


def _cylinder(breather: Breather, phase: float, back: float) -> Volume:
    engine = breather.engine
    piston = Piston(
        bore=engine.bore_mm * 1e-3,
        stroke=engine.stroke_mm * 1e-3,
        rod=engine.rod_length_mm * 1e-3,
        pin_offset=engine.pin_offset_mm * 1e-3,
        compression=engine.compression_ratio,
        phase=phase,
        heat=HEAT_OF_AIR[breather.air.fuel],
        wall_temperature=CYLINDER_WALL,
        burn_start=BURN_START,
        burn_length=BURN_LENGTH,
        closes=intake_valves(engine).closes,
    )
    return Volume(pressure=back, temperature=0.7 * EXHAUST_TEMPERATURE, burnt=0.5, piston=piston)


def _tracts(
    parts: Laying, plena: tuple[tuple[int, ...], ...], cylinders: dict[int, int]
) -> tuple[tuple[int, ...], dict[int, list[int]]]:
    """Runners with the ports they feed; where one divides, its ports meet it without a volume between.

    Gives the pipe of each runner, and of each cylinder the ends at its intake valves.
    """
    breather = parts.breather
    engine, phases = breather.engine, firing_phases(breather.engine)
    shares = {n: max(sum(n in runner.cylinders for runner in breather.intake.runners), 1) for n in cylinders}
    valves = effective_area(intake_valves(engine))
    tables = {n: valves / shares[n] for n in cylinders}
    warm = breather.intake.wall_temperature
    tracts: list[int] = []
    inlet_ends: dict[int, list[int]] = {n: [] for n in cylinders}
    for runner in breather.intake.runners:
        mouth = End(volume=plena[runner.plenum][runner.part], share_in=runner.entry_share, share_out=runner.exit_share)
        ends = {n: End(volume=cylinders[n], table=tables[n], phase_deg=phases[n]) for n in runner.cylinders}
        if len(ends) == 1:
            (number,) = ends
            along = with_port(engine, runner, seat_area_of(engine) / shares[number])
            tracts.append(parts.pipe(cold_pipe(breather, along, (mouth, ends[number]), warm)))
            inlet_ends[number].append(2 * tracts[-1] + 1)
            continue
        fork = End(joint=parts.joint())
        along = Stretch(places=runner.places, area=runner.area, loss=runner.loss)
        tracts.append(parts.pipe(cold_pipe(breather, along, (mouth, fork), warm)))
        for number, end in ends.items():
            port = port_behind(engine, seat_area_of(engine) / shares[number])
            inlet_ends[number].append(2 * parts.pipe(cold_pipe(breather, port, (fork, end), warm)) + 1)
    return tuple(tracts), inlet_ends


def _before_throttles(parts: Laying, outside: int) -> int:
    """The volume that throttles draw from: the supply, or a box behind a duct where the sheet has either."""
    air = parts.breather.air
    if air.duct_length_mm == 0.0 and air.box_l == 0.0:
        return outside
    bore = air.duct_bore_mm * 1e-3
    box = parts.space(max(air.box_l * 1e-3, bore**3))
    duct = even_pipe(air.duct_length_mm * 1e-3 + 0.5 * bore * (FLANGED_END + UNFLANGED_END), bore)
    parts.pipe(cold_pipe(parts.breather, duct, (End(volume=outside), End(volume=box)), supply_temperature(air)))
    return box


def _throttles(parts: Laying, plenum: PlenumAir, before: int, volumes: tuple[int, ...]) -> None:
    """Throttle bodies and necks of a plenum as pipes, end corrections added."""
    air = parts.breather.air
    open_share = plate_share(air.throttle_open_deg)
    for i, (bore, neck) in enumerate(zip(plenum.throttle_bores, plenum.necks, strict=True)):
        length = neck + THROTTLE_BODY + 0.5 * bore * (FLANGED_END + UNFLANGED_END)
        part = plenum.throttle_parts[i] if plenum.throttle_parts else 0
        ends = End(volume=before, share_in=open_share, share_out=open_share), End(volume=volumes[part])
        parts.pipe(cold_pipe(parts.breather, even_pipe(length, bore), ends, supply_temperature(air)))


def _balance(parts: Laying, plena: list[tuple[int, ...]]) -> None:
    """The pipe that joins each plenum to the next, middle to middle, where the sheet has one; its ends sharp."""
    air = parts.breather.air
    if air.balance_length_mm == 0.0:
        return
    bore, sharp = air.balance_bore_mm * 1e-3, throat_of_loss(entry_loss(0.0))
    for a, b in pairwise(plena):
        ends = End(volume=a[len(a) // 2], share_in=sharp), End(volume=b[len(b) // 2], share_in=sharp)
        along = even_pipe(air.balance_length_mm * 1e-3 + bore * FLANGED_END, bore)
        parts.pipe(cold_pipe(parts.breather, along, ends, supply_temperature(air)))
