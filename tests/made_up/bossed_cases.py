"""A sound manifold with four bosses: two on straight runners, one on a wall, one on the cover."""

from dataclasses import replace
from math import cos, radians, sin

import numpy as np

from tractwright.design.pattern import KeepOutPlane, Room

BOSSES = """
[[boss]]
name = "fitting"
runners = ["r2"]
thread = "M10x1"
share = 0.4
clock = "90 deg"
[[boss]]
name = "seat"
runners = ["r1"]
share = 0.4
clock = "270 deg"
bore = "6 mm"
pocket = [[14, 8], [11, 10]]
[[boss]]
name = "wall"
wall = "side_2"
bore = "5 mm"
wall_at = [20, 0]
[[boss]]
name = "lid"
wall = "top"
bore = "5 mm"
"""
FITTING, SEAT, WALL = "boss.fitting.r2", "boss.seat.r1", "boss.wall.plenum"


def boss(case, path):
    return next(item for item in case.design.bosses if f"boss.{item.name}" == path)


def of(findings, path):
    return next(finding for name, finding in findings.items() if path in name.split("+"))


def turned(case, path, clock_deg):
    """A boss of a straight runner of round section moved round it: plain sums."""
    item = boss(case, path)
    spokes = case.tubes[item.runner].outer_mm[0] - case.tubes[item.runner].centre_mm[0]
    turn, wide = radians(clock_deg), float(np.linalg.norm(spokes, axis=1).mean())
    way = np.array([cos(turn), sin(turn), 0.0])
    runner = next(runner for runner in case.design.runners if runner.name == item.runner)
    middle = np.array([runner.poles_mm[0][0], runner.poles_mm[0][1], item.at_mm[2]])
    return {f"{path}.at_mm": tuple(middle + wide * way), f"{path}.axis": tuple(way)}


def ceiling(case, height_mm):
    return replace(case, room=Room(planes=(KeepOutPlane(name="bonnet", normal=(0, -1, 0), offset_mm=-height_mm),)))
