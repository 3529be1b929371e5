"""Closed-form guesses of the trade, shown beside the simulation with what they leave out. SI units."""

from math import pi, sqrt

from tractwright.air.flow.kernels import GAMMA, GAS_CONSTANT

WAVE_ANGLE = 85.0  # deg of crank for a wave out and back: the angle of the problem read (ram_wave_rule)


def sound_speed(temperature: float) -> float:
    """Speed of sound in air [m/s] at a temperature [K]."""
    return sqrt(GAMMA * GAS_CONSTANT * temperature)


def mean_piston_speed(stroke: float, rpm: float) -> float:
    """Mean piston speed [m/s]: 2 s N."""
    return 2.0 * stroke * rpm / 60.0


def mean_gas_speed(swept: float, area: float, stroke: float, rpm: float) -> float:
    """Mean piston speed times piston area over passage area [m/s]; swept volume [m3], stroke [m]."""
    return swept / stroke / area * mean_piston_speed(stroke, rpm)


def reflected_wave_length(angle: float, sound: float, rpm: float) -> float:
    """Length valve to open end [m] whose wave comes back after `angle` [deg of crank]: theta c / (12 N).

    Source: ram_wave_rule.
    """
    return angle * sound / (12.0 * rpm)


def resonator_frequency(area: float, length: float, volume: float, sound: float) -> float:
    """Frequency [Hz] of a volume that breathes through a pipe taken as a lump of air.

    1 to 45 % off the exact answer of pipe and volume, by how the pipe's volume compares. Source: helmholtz_rule.
    """
    return sound / (2.0 * pi) * sqrt(area / (length * volume))


def resonator_rpm(area: float, length: float, swept: float, compression: float, sound: float) -> float:
    """Revs of the torque peak [1/min] by the resonator rule with K = 2.1. Source: helmholtz_rule."""
    half_way = 0.5 * swept * (compression + 1.0) / (compression - 1.0)
    return 60.0 / 2.1 * resonator_frequency(area, length, half_way, sound)


def inlet_mach_index(bore: float, stroke: float, rpm: float, mean_valve_area: float, sound: float) -> float:
    """Mean piston speed x piston area over mean effective valve area x sound speed [-]. Source: jsme_inlet_mach."""
    return mean_piston_speed(stroke, rpm) * pi / 4.0 * bore**2 / (mean_valve_area * sound)
