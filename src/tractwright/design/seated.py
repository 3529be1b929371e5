"""The pattern as it stands on an insulating spacer: everything is designed on the spacer's outer face."""

from dataclasses import replace

import numpy as np

from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, Port


def seated(pattern: Pattern, thickness_mm: float) -> Pattern:
    """The pattern of the heads moved out by a spacer [mm], each port along its own axis; screws stand square to the face."""
    banks = tuple(_moved(bank, thickness_mm) for bank in pattern.banks)
    by_name = {bank.name: bank for bank in banks}
    ports = tuple(port_moved(port, by_name[port.bank], thickness_mm) for port in pattern.ports)
    return replace(pattern, banks=banks, ports=ports)


def on_head(pattern: Pattern) -> Pattern:
    """The pattern in the head's own face, whether or not a spacer lies on it."""
    thick = {bank.name: bank.spacer_mm for bank in pattern.banks}
    by_name = {bank.name: bank for bank in pattern.banks}
    ports = tuple(port_moved(port, by_name[port.bank], -thick[port.bank]) for port in pattern.ports)
    return replace(pattern, banks=tuple(_moved(bank, -bank.spacer_mm) for bank in pattern.banks), ports=ports)


def port_moved(port: Port, bank: Bank, out_mm: float) -> Port:
    """The port where its axis goes through a plane so far out of its face [mm]."""
    x, y, z = bank.frame.matrix() @ np.array(port.axis)
    return replace(port, at_mm=(port.at_mm[0] + float(x / z) * out_mm, port.at_mm[1] + float(y / z) * out_mm))


def _moved(bank: Bank, out_mm: float) -> Bank:
    return replace(bank, frame=bank.frame.moved((0.0, 0.0, out_mm)), spacer_mm=bank.spacer_mm + out_mm)
