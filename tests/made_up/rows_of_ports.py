"""Invented rows of ports for the tests."""

from dataclasses import replace

import numpy as np

from tractwright.design.pattern import KeepOutBox, KeepOutPlane, Room
from tractwright.design.room import HEAD_FACE
from tractwright.route.course.records import CourseFace, CourseProblem, CourseRunner, KeyWay

HEAD = KeepOutPlane(name=HEAD_FACE, normal=(0.0, 0.0, 1.0), offset_mm=0.0)


def row(count=4, pitch=88.0, length=280.0, rise_deg=20.0, sweep_deg=0.0) -> CourseProblem:
    """A regular row before a head face, nothing else in the room."""
    rise, sweep = np.radians([rise_deg, sweep_deg])
    axis = (float(np.sin(sweep) * np.cos(rise)), float(np.sin(rise)), float(np.cos(rise) * np.cos(sweep)))
    places = (np.arange(count) - (count - 1) / 2) * pitch
    names = tuple(f"r{i + 1}" for i in range(count))
    runner = CourseRunner(
        name="",
        start_mm=(0.0, 0.0, 0.0),
        axis=axis,
        face="plenum",
        port_lead_mm=14.0,
        mouth_lead_mm=24.0,
        port_half_mm=23.0,
        port_half_least_mm=17.0,
        mouth_bore_mm=42.0,
        wall_mm=4.0,
        bank="a",
    )
    return CourseProblem(
        runners=tuple(
            replace(runner, name=name, start_mm=(float(x), 0.0, 0.0)) for name, x in zip(names, places, strict=True)
        ),
        faces=(_face(names),),
        room=Room(planes=(HEAD,)),
        key_ways=screws(places, pitch),
        length_wanted_mm=length,
        clearance_mm=4.0,
        gap_mm=6.0,
    )


def _face(names) -> CourseFace:
    """A plenum's floor with these runners' mouths in it."""
    return CourseFace(
        name="plenum",
        rows=(names,),
        mouth_bore_mm=42.0,
        lip_radius_mm=9.0,
        least_pitch_mm=61.0,
        body_depth_mm=100.0,
        body_half_height_mm=52.0,
        body_overhang_mm=50.0,
        behind_mm=12.0,
    )


def screws(places, pitch) -> tuple[KeyWay, ...]:
    """A screw's head and its key's way above and below, between all ports and outside the last ones."""
    ways = []
    for x in [*(places - pitch / 2), places[-1] + pitch / 2]:
        for y in (24.0, -24.0):
            at = (float(x), y, 14.0)
            ways.append(KeyWay(start_mm=at, direction=(0.0, 0.0, 1.0), length_mm=12.0, radius_mm=8.5))
            ways.append(KeyWay(start_mm=at, direction=(0.0, 0.0, 1.0), length_mm=90.0, radius_mm=5.0))
    return tuple(ways)


def in_room(problem, *, top=None, out=None, floor=None, boxes=()) -> CourseProblem:
    """The row under a bonnet, behind a wing, over a starter; beside boxes."""
    planes = [HEAD]
    if top is not None:
        planes.append(KeepOutPlane(name="bonnet", normal=(0.0, -1.0, 0.0), offset_mm=-top))
    if out is not None:
        planes.append(KeepOutPlane(name="wing", normal=(0.0, 0.0, -1.0), offset_mm=-out))
    if floor is not None:
        planes.append(KeepOutPlane(name="starter", normal=(0.0, 1.0, 0.0), offset_mm=floor))
    return replace(problem, room=Room(planes=tuple(planes), boxes=tuple(boxes)))


def brace(low, high) -> KeepOutBox:
    """A box in the way."""
    return KeepOutBox(name="brace", low_mm=low, high_mm=high)


def vee() -> CourseProblem:
    """Two banks of three that look into a valley, each with its own plenum."""
    runners, names = [], {"a": [], "b": []}
    model = row(count=1).runners[0]
    for bank, side in (("a", -1.0), ("b", 1.0)):
        tilt = np.radians(50.0)
        for i in range(3):
            name = f"{bank}{i + 1}"
            names[bank].append(name)
            start = ((i - 1) * 106.0 + side * 20.0, 0.0, side * 90.0)
            axis = (0.0, float(np.sin(tilt)), float(-side * np.cos(tilt)))
            runners.append(replace(model, name=name, start_mm=start, axis=axis, face=f"plenum {bank}", bank=bank))
    face = row().faces[0]
    faces = tuple(
        replace(face, name=f"plenum {bank}", rows=(tuple(own),), body_depth_mm=90.0, body_half_height_mm=45.0)
        for bank, own in names.items()
    )
    boxes = tuple(
        KeepOutBox(name=f"cover {side}", low_mm=(-400.0, -60.0, low), high_mm=(400.0, 95.0, high))
        for side, low, high in (("a", -400.0, -125.0), ("b", 125.0, 400.0))
    )
    bonnet = KeepOutPlane(name="bonnet", normal=(0.0, -1.0, 0.0), offset_mm=-330.0)
    problem = replace(row(length=260.0), runners=tuple(runners), faces=faces, key_ways=())
    return replace(problem, room=Room(planes=(bonnet,), boxes=boxes))


def central_vee(offset=20.0, length=200.0) -> CourseProblem:
    """Two banks of three that look into a valley, their mouths by turns in one row over it."""
    runners = []
    model = row(count=1).runners[0]
    for bank, side in (("left", -1.0), ("right", 1.0)):
        rise = np.radians(40.0)
        for i in range(3):
            start = ((i - 1) * 108.0 + side * offset / 2, 0.0, side * 85.0)
            axis = (0.0, float(np.sin(rise)), float(-side * np.cos(rise)))
            runners.append(replace(model, name=f"{bank}{i + 1}", start_mm=start, axis=axis, bank=bank))
    order = tuple(runner.name for runner in sorted(runners, key=lambda runner: runner.start_mm[0]))
    face = replace(row().faces[0], rows=(order,))
    return replace(row(length=length), runners=tuple(runners), faces=(face,), room=Room(), key_ways=())


def vee_eight(length=200.0) -> CourseProblem:
    """Two banks of four, each bank's mouths in a row of its own over the valley, screws between the ports."""
    three = central_vee(length=length)
    runners = []
    for side, model in ((-1.0, three.runners[0]), (1.0, three.runners[3])):
        for i in range(4):
            start = ((i - 1.5) * 108.0 + side * 10.0, 0.0, side * 85.0)
            runners.append(replace(model, name=f"{model.bank}{i + 1}", start_mm=start))
    rows = tuple(tuple(runner.name for runner in runners if runner.bank == bank) for bank in ("right", "left"))
    face = replace(three.faces[0], rows=rows, rows_apart_mm=61.0, body_half_height_mm=82.0)
    return replace(three, runners=tuple(runners), faces=(face,))
