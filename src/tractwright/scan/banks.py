"""The heads of an engine with two: their frames, and the one pattern laid on each of them."""

from dataclasses import dataclass, replace

import numpy as np

from tractwright.design.records import Bank, HeadHole, Port
from tractwright.geometry.frames import Frame, vec3
from tractwright.job.bank_tables import BankFacts
from tractwright.scan.facts import BANK, cylinders_of


@dataclass(frozen=True, slots=True, kw_only=True)
class OnBanks:
    """Banks with their ports and holes, names running on from bank to bank."""

    banks: tuple[Bank, ...]
    ports: tuple[Port, ...]
    holes: tuple[HeadHole, ...]


def on_banks(facts: tuple[BankFacts, ...], ports: tuple[Port, ...], holes: tuple[HeadHole, ...]) -> OnBanks:
    """The pattern on each bank: as it is where there is one head, the left bank first where there are two."""
    if not facts:
        return OnBanks(banks=(Bank(name=BANK, frame=Frame()),), ports=ports, holes=holes)
    sorted_facts = sorted(facts, key=lambda bank: bank.side)
    banks = tuple(Bank(name=bank.side, frame=frame_of(bank)) for bank in sorted_facts)
    return OnBanks(
        banks=banks,
        ports=tuple(
            port
            for k, (bank, said) in enumerate(zip(banks, sorted_facts, strict=True))
            for port in _ports(bank, said, ports, k * len(ports))
        ),
        holes=tuple(
            replace(hole, name=f"s{k * len(holes) + number}", bank=bank.name)
            for k, bank in enumerate(banks)
            for number, hole in enumerate(holes, start=1)
        ),
    )


def frame_of(bank: BankFacts) -> Frame:
    """A bank's frame in the job's axes: x along the row as one sees it who faces the head, y up, z out of the head."""
    rise, side = np.radians(bank.rise_deg), 1.0 if bank.side == "right" else -1.0
    x, z = np.array([-side, 0.0, 0.0]), np.array([0.0, np.sin(rise), -side * np.cos(rise)])
    origin = (bank.offset_mm, 0.0, side * bank.from_middle_mm)
    return Frame(origin_mm=vec3(origin), x=vec3(x), y=vec3(np.cross(z, x)), z=vec3(z))


def _ports(bank: Bank, facts: BankFacts, ports: tuple[Port, ...], before: int) -> list[Port]:
    """A bank's own ports, in the order they are given. Which cylinders each feeds goes by its place along x."""
    along = sorted(ports, key=lambda port: port.at_mm[0] * bank.frame.x[0])
    fed = dict(zip((port.name for port in along), cylinders_of(len(ports), len(facts.cylinders)), strict=True))
    return [
        replace(
            port,
            name=f"p{before + number}",
            bank=bank.name,
            cylinders=tuple(facts.cylinders[place - 1] for place in fed[port.name]),
            axis=vec3(bank.frame.turn(port.axis)),
        )
        for number, port in enumerate(ports, start=1)
    ]
