"""Random rows of ports in random rooms, put to the course search: how many are solved at once, in what time.

Three classes, by the job's number: grown round courses known to meet every demand (feasible by construction), rooms that
cannot hold the plenum at all (impossible by construction), and jobs made without asking (free; reported, no bar).
Solved rows are asked again after one change each (a wall, a screw's seat, a length, a plane), from where they ended. Prints a
line a job and, last, one JSON object of figures. `--seed N --count N`.
"""

import argparse
import json
import time
from dataclasses import replace

import numpy as np

from tractwright.design.pattern import KeepOutBox, KeepOutPlane, Room
from tractwright.design.room import HEAD_FACE
from tractwright.geometry.frames import Array
from tractwright.route.course.demands import Question, question
from tractwright.route.course.demands_plenum import body_points
from tractwright.route.course.packed import pack_problem
from tractwright.route.course.records import CourseFace, CourseProblem, CourseRunner, CourseSolution, KeyWay
from tractwright.route.course.solve import STAY, solve_courses
from tractwright.route.course.starts import drawn
from tractwright.route.course.verify import Verdict, verdict_of

HEAD = KeepOutPlane(name=HEAD_FACE, normal=(0.0, 0.0, 1.0), offset_mm=0.0)
BARS = {
    "feasible solved at once": 0.9,
    "impossible refused": 1.0,
    "cpu s, a four, median": 3.0,
    "cpu s, most": 12.0,
    "cpu s, again after a change, p95": 0.15,
}


def random_row(rng: np.random.Generator) -> CourseProblem:
    """Ports, plenum, screws and a length, in a room with nothing but the head face."""
    count, pitch = int(rng.integers(3, 7)), float(rng.uniform(80.0, 110.0))
    bore = float(rng.uniform(0.38, 0.5) * pitch)
    wide, wall = bore / 2 * float(rng.uniform(0.95, 1.2)), float(rng.uniform(3.5, 5.0))
    least = wide * float(rng.uniform(0.65, 1.0))
    rise = np.radians(rng.choice([0.0, rng.uniform(0.0, 35.0)]))
    sweep = np.radians(rng.choice([0.0, 0.0, 0.0, rng.uniform(-20.0, 20.0)]))
    axis = (float(np.cos(rise) * np.sin(sweep)), float(np.sin(rise)), float(np.cos(rise) * np.cos(sweep)))
    places = (np.arange(count) - (count - 1) / 2) * pitch
    names = tuple(f"r{i + 1}" for i in range(count))
    runners = tuple(
        CourseRunner(
            name=name,
            start_mm=(float(x), 0.0, 0.0),
            axis=axis,
            face="plenum",
            port_lead_mm=14.0,
            mouth_lead_mm=24.0,
            port_half_mm=wide,
            port_half_least_mm=least,
            mouth_bore_mm=bore,
            wall_mm=wall,
            bank="a",
        )
        for name, x in zip(names, places, strict=True)
    )
    return CourseProblem(
        runners=runners,
        faces=(_random_face(rng, names, bore),),
        room=Room(planes=(HEAD,)),
        key_ways=_screws(places, pitch, least + wall + float(rng.uniform(10.0, 16.0))),
        length_wanted_mm=float(rng.uniform(150.0, 450.0)),
        clearance_mm=4.0,
        gap_mm=6.0,
    )


def _random_face(rng: np.random.Generator, names: tuple[str, ...], bore: float) -> CourseFace:
    """The floor of a plenum with a body behind it."""
    lip = float(rng.uniform(0.1, 0.2)) * bore
    return CourseFace(
        name="plenum",
        rows=(names,),
        mouth_bore_mm=bore,
        lip_radius_mm=lip,
        least_pitch_mm=bore + 2 * lip + 1.0,
        body_depth_mm=float(rng.uniform(80.0, 120.0)),
        body_half_height_mm=bore / 2 + float(rng.uniform(22.0, 35.0)),
        body_overhang_mm=bore / 2 + float(rng.uniform(20.0, 35.0)),
        behind_mm=12.0,
    )


def _screws(places: Array, pitch: float, rise: float) -> tuple[KeyWay, ...]:
    ways: list[KeyWay] = []
    for x in [*(places - pitch / 2), places[-1] + pitch / 2]:
        for y in (rise, -rise):
            at = (float(x), float(y), 14.0)
            ways.append(KeyWay(start_mm=at, direction=(0.0, 0.0, 1.0), length_mm=12.0, radius_mm=8.5))
            ways.append(KeyWay(start_mm=at, direction=(0.0, 0.0, 1.0), length_mm=90.0, radius_mm=5.0))
    return tuple(ways)


def feasible_job(seed: int) -> CourseProblem:
    """A room grown round courses that are known to meet every demand; tight or wide."""
    rng = np.random.default_rng(seed)
    while True:
        problem = random_row(rng)
        asked = question(pack_problem(problem))
        x = drawn(asked, float(np.radians(rng.uniform(-150.0, 150.0))), float(rng.uniform(-0.9, 0.9)))
        known = verdict_of(asked, x)
        if not known.sound:
            continue
        problem = replace(problem, length_wanted_mm=float(known.sight.length.mean()))
        slack = float(rng.uniform(1.0, 8.0) if rng.uniform() < 0.5 else rng.uniform(15.0, 100.0))
        made = replace(problem, room=_room_round(rng, asked, known, slack))
        if verdict_of(question(pack_problem(made)), x).feasible:
            return made


def _room_round(rng: np.random.Generator, asked: Question, known: Verdict, slack: float) -> Room:
    """Planes and boxes that leave the known courses the clearance and the slack."""
    packed = asked.packed
    body = body_points(packed, known.sight, 0).points
    skin = known.sight.curve.reshape(-1, 3)
    radius = float(packed.outer_at_port.max())
    low = np.minimum(body.min(axis=0), skin.min(axis=0) - radius) - packed.problem.clearance_mm - slack
    high = np.maximum(body.max(axis=0), skin.max(axis=0) + radius) + packed.problem.clearance_mm + slack
    sides = {"bonnet": (1, -1.0, high), "starter": (1, 1.0, low), "wing": (2, -1.0, high)}
    sides |= {"bulkhead": (0, -1.0, high), "fan": (0, 1.0, low)}
    planes = [HEAD]
    for name, (axis, sign, limit) in sides.items():
        normal = np.zeros(3)
        normal[axis] = sign
        planes.append(KeepOutPlane(name=name, normal=tuple(normal.tolist()), offset_mm=float(sign * limit[axis])))
    boxes: list[KeepOutBox] = []
    for i in range(int(rng.integers(0, 5))):
        middle, size = rng.uniform(low, high), rng.uniform(15.0, 60.0, 3)
        box = (middle - size / 2, middle + size / 2)
        if _apart(body, box) > 4.0 + slack and _apart(skin, box) > radius + 4.0 + slack:
            boxes.append(
                KeepOutBox(name=f"thing {i + 1}", low_mm=tuple(box[0].tolist()), high_mm=tuple(box[1].tolist()))
            )
    return Room(planes=tuple(planes), boxes=tuple(boxes))


def _apart(points: Array, box: tuple[Array, Array]) -> float:
    outside = np.maximum(0.0, np.maximum(box[0] - points, points - box[1]))
    return float(np.linalg.norm(outside, axis=1).min())


def impossible_job(seed: int) -> CourseProblem:
    """A plate in front of the head, nearer than the plenum is thick in any pose, over the whole plane."""
    rng = np.random.default_rng(seed)
    problem = random_row(rng)
    face = problem.faces[0]
    thick = min(face.body_depth_mm + 12.0, 2 * face.body_half_height_mm)
    plate = KeepOutPlane(name="plate", normal=(0.0, 0.0, -1.0), offset_mm=-float(thick * rng.uniform(0.6, 0.95)))
    return replace(problem, room=Room(planes=(HEAD, plate)))


def free_job(seed: int) -> CourseProblem:
    """A room made without asking whether anything fits."""
    rng = np.random.default_rng(seed)
    limits = {"bonnet": (1, -1.0, rng.uniform(120, 350)), "starter": (1, 1.0, -rng.uniform(60, 300))}
    limits |= {"wing": (2, -1.0, rng.uniform(150, 400))}
    planes = [HEAD]
    for name, (axis, sign, limit) in limits.items():
        normal = np.zeros(3)
        normal[axis] = sign
        planes.append(KeepOutPlane(name=name, normal=tuple(normal.tolist()), offset_mm=float(sign * limit)))
    cover = KeepOutBox(name="cam cover", low_mm=(-900.0, 45.0, -300.0), high_mm=(900.0, 130.0, 10.0))
    return replace(random_row(rng), room=Room(planes=tuple(planes), boxes=(cover,)))


def measured(kind: str, problem: CourseProblem) -> tuple[CourseSolution, float]:
    """The solution and the processor time it took [s]."""
    begin = time.process_time()
    solution = solve_courses(problem)
    seconds = time.process_time() - begin
    missed = "; ".join(f"{item.demand} {item.reached:.1f} of {item.wanted:.1f}" for item in solution.shortfalls)
    print(
        f"{kind:10s} n {len(problem.runners)} length {problem.length_wanted_mm:5.0f} solved {solution.feasible!s:5s} "
        f"starts {solution.starts_tried:2d} evaluations {solution.evaluations:5d} cpu {seconds:5.2f} s  {missed}",
        flush=True,
    )
    return solution, seconds


def changed(problem: CourseProblem) -> list[CourseProblem]:
    """The problem with one thing changed, four times."""
    thicker = tuple(replace(runner, wall_mm=runner.wall_mm + 0.3) for runner in problem.runners)
    higher = tuple(
        replace(way, start_mm=(way.start_mm[0], way.start_mm[1], way.start_mm[2] + 3.0)) for way in problem.key_ways[:2]
    )
    nearer = tuple(
        replace(plane, offset_mm=plane.offset_mm + 1.0) if plane.name == "bonnet" else plane
        for plane in problem.room.planes
    )
    return [
        replace(problem, runners=thicker),
        replace(problem, key_ways=(*higher, *problem.key_ways[2:])),
        replace(problem, length_wanted_mm=problem.length_wanted_mm + 2.0),
        replace(problem, room=replace(problem.room, planes=nearer)),
    ]


def again(problem: CourseProblem, solution: CourseSolution) -> list[tuple[bool, float]]:
    """Whether each changed problem is solved from where the first ended, and the processor time it took [s]."""
    found: list[tuple[bool, float]] = []
    for other in changed(problem):
        begin = time.process_time()
        solved = solve_courses(other, solution.unknowns, STAY).feasible
        found.append((solved, time.process_time() - begin))
    return found


def figures(
    results: list[tuple[str, int, bool, float]], warm: list[tuple[bool, float]]
) -> dict[str, dict[str, float | bool | int | None]]:
    """The figures with their bars; each result is class, cylinders, solved, seconds; warm : solved, seconds."""
    feasible = [solved for kind, _, solved, _ in results if kind == "feasible"]
    impossible = [not solved for kind, _, solved, _ in results if kind == "impossible"]
    fours = [seconds for kind, count, _, seconds in results if count == 4 and kind == "feasible"]
    free = [solved for kind, _, solved, _ in results if kind == "free"]
    every = [seconds for *_, seconds in results]
    values = {
        "feasible solved at once": (float(np.mean(feasible)) if feasible else 0.0, len(feasible)),
        "impossible refused": (float(np.mean(impossible)) if impossible else 0.0, len(impossible)),
        "cpu s, a four, median": (float(np.median(fours)) if fours else 0.0, len(fours)),
        "cpu s, most": (max(every, default=0.0), len(every)),
    }
    seconds = [spent for solved, spent in warm if solved]
    values["cpu s, again after a change, p95"] = (
        float(np.percentile(seconds, 95)) if seconds else 0.0,
        len(seconds),
    )
    shown: dict[str, dict[str, float | bool | int | None]] = {}
    for name, (value, count) in values.items():
        least = name in ("feasible solved at once", "impossible refused")
        holds = count > 0 and (value >= BARS[name] if least else value <= BARS[name])
        shown[name] = {"value": round(value, 3), "bar": BARS[name], "holds": holds, "count": count}
    shown["free solved"] = {
        "value": round(float(np.mean(free)), 3) if free else 0.0,
        "bar": None,
        "holds": True,
        "count": len(free),
    }
    shown["solved again after a change"] = {
        "value": round(float(np.mean([solved for solved, _ in warm])), 3) if warm else 0.0,
        "bar": None,
        "holds": True,
        "count": len(warm),
    }
    return shown


def main() -> None:
    """Run the set; every tenth of jobs: six feasible, two impossible, two free."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=50)
    options = parser.parse_args()
    makers = {"feasible": feasible_job, "impossible": impossible_job, "free": free_job}
    order = ["feasible", "free", "feasible", "impossible", "feasible"] * 2
    solve_courses(random_row(np.random.default_rng(0)))
    results: list[tuple[str, int, bool, float]] = []
    warm: list[tuple[bool, float]] = []
    try:
        for i in range(options.count):
            kind = order[i % 10]
            problem = makers[kind](1000 * options.seed + i)
            solution, seconds = measured(kind, problem)
            results.append((kind, len(problem.runners), solution.feasible, seconds))
            if solution.feasible:
                warm += again(problem, solution)
    finally:
        print(json.dumps(figures(results, warm)))


if __name__ == "__main__":
    main()
