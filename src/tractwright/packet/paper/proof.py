"""The inspection list: what to measure on the finished pieces, against what, with what."""

from tractwright.design.records import Design, Joint, Screw
from tractwright.geometry.outlines import Outline
from tractwright.packet.contents import Contents
from tractwright.packet.paper.words import Rows, span
from tractwright.standards.cords import GROOVE_WIDTH_TOLERANCE_MM
from tractwright.standards.threads import thread

_PORT_STEP_MM = (0.1, 0.2)
_FLAT_MM = {"cord": 0.05, "gasket": 0.10}
_GROOVE_DEPTH_MM = 0.05
"""The step at a port, flatness over a whole face, how true a groove's depth is: common practice, no source."""


def inspection(contents: Contents) -> Rows:
    """Rows of what, where, wanted, with what; the last column is left to be filled in."""
    design = contents.case.design
    rows = [
        *_openings(design),
        *_flatness(design),
        *_holes(design),
        *_grooves(design),
        *_walls(contents),
        *_proof(contents),
    ]
    return [[*row, ""] for row in rows]


def _openings(design: Design) -> Rows:
    low, high = _PORT_STEP_MM
    step = f"no edge that faces the flow: {low} to {high} mm smaller all round than the opening downstream"
    alike: dict[str, list[str]] = {}
    for port in design.ports:
        alike.setdefault(_outline(port.outline), []).append(port.name)
    rows = [
        [f"ports {', '.join(names)}", "head face", f"each {shape}; {step}", "paper template, feeler"]
        for shape, names in alike.items()
    ]
    bores = span([runner.mouth.bore_mm for runner in design.runners], 1, "mm")
    upstream = "floor to runner" if design.plena else "throttle body to runner"
    rows.append(["mouths, each", upstream, f"ø{bores}; {step}", "bore gauge, finger"])
    rows += [_spindles(design, row.name) for row in design.body_rows]
    on_mouths = {row.name for row in design.body_rows}
    for throttle in (item for item in design.throttles if item.plenum not in on_mouths):
        rows.append(
            [
                f"throttle {throttle.name}",
                "body face",
                f"ø{throttle.bore_mm:.4g} mm; plate moves freely",
                "bore gauge, by hand",
            ]
        )
    return rows


def _spindles(design: Design, row: str) -> list[str]:
    """Bodies on one line bind where their face is not flat: tried with every screw drawn down."""
    bores = span([item.bore_mm for item in design.throttles if item.plenum == row], 1, "mm")
    wanted = f"ø{bores}; all screws at their torque, the plates turn together freely and shut together"
    return ["throttle bodies", "mouth face", wanted, "bore gauge, by hand, light"]


def _outline(outline: Outline) -> str:
    if outline.kind == "circle":
        return f"ø{outline.width_mm:.4g} mm"
    name = "D" if outline.kind == "d" else outline.kind.replace("_", " ")
    return f"{name} {outline.width_mm:.4g} x {outline.height_mm:.4g} mm"


def _flatness(design: Design) -> Rows:
    kinds = {seal.joint: seal.kind for seal in design.seals}
    rows: Rows = []
    for joint in design.joints:
        ours = [name for name in joint.pieces if name not in ("engine", "throttle_body")]
        limit = _FLAT_MM[kinds.get(joint.name, "gasket")]
        rows.append(
            [
                f"flatness, {joint.name} joint",
                ", ".join(ours),
                f"{limit:.2f} mm over the whole face",
                "plate and blue, feeler",
            ]
        )
    return rows


def _holes(design: Design) -> Rows:
    rows: Rows = []
    for joint in design.joints:
        screws = [screw for screw in design.screws if screw.joint == joint.name]
        if screws:
            rows.append([f"hole places, {joint.name} joint", "hole sheet", _places(screws), "height gauge or probe"])
            rows.append([f"threads, {joint.name} joint", screws[0].tapped_in, _threads(screws), "go and no-go gauge"])
    return [*rows, *_dowels(design)]


def _places(screws: list[Screw]) -> str:
    """Clearance shared between the two pieces: half of what the hole is larger than the screw."""
    play = min(screw.clearance_mm - thread(screw.thread).major_mm for screw in screws)
    return f"each within ø{play / 2:.2f} mm of its place"


def _threads(screws: list[Screw]) -> str:
    kinds = sorted({(screw.thread, screw.tapped_depth_mm) for screw in screws})
    return ", ".join(f"{size} full to {depth:.4g} mm" for size, depth in kinds)


def _dowels(design: Design) -> Rows:
    joints: dict[str, Joint] = {joint.name: joint for joint in design.joints}
    names = dict.fromkeys(dowel.joint for dowel in design.dowels)
    return [
        [f"dowels, {name} joint", " and ".join(joints[name].pieces), "slide in by hand, no shake", "the pins"]
        for name in names
    ]


def _grooves(design: Design) -> Rows:
    """One line for each joint's like grooves."""
    rows: Rows = []
    for seal in (item for item in design.seals if item.kind == "cord"):
        width = f"{seal.groove_width_mm:.2f} ± {GROOVE_WIDTH_TOLERANCE_MM:.2f} wide"
        wanted = f"{width}, {seal.groove_depth_mm:.2f} ± {_GROOVE_DEPTH_MM:.2f} deep; no marks across"
        row = [f"groove, {seal.joint} joint", seal.piece, wanted, "depth gauge, pin"]
        rows += [] if row in rows else [row]
    return rows


def _walls(contents: Contents) -> Rows:
    case = contents.case
    walls = {name: float(model.wall_mm.min()) for name, model in case.tubes.items()}
    rows = [["runner walls", "head", f"nowhere under {min(walls.values()):.1f} mm", "wall-thickness gauge"]]
    for plenum in case.design.plena:
        rows.append(
            [
                f"walls of {plenum.name}",
                "plenum",
                f"{plenum.wall_mm:.1f} mm, floor {plenum.floor_mm:.1f} mm",
                "callipers",
            ]
        )
    ledges = [p.ledge_mm for p in (case.plan.passages if case.plan else ()) if p.ledge_mm is not None]
    if ledges:
        rows.append(
            [
                "step at the meeting lines",
                "passages",
                f"blended; {max(ledges):.2f} mm expected off the machine",
                "finger, light",
            ]
        )
    return rows


def _proof(contents: Contents) -> Rows:
    bar = contents.case.loads.pressures.proof_mpa * 10
    return [
        [
            "strength",
            "assembled",
            f"water at {bar:.2f} bar for ten minutes: no leak, no lasting bend",
            "gauge, straight edge",
        ],
        [
            "leaks",
            "assembled",
            "air at 0.35 bar or less, soap on every joint: no bubbles",
            "behind a guard, relief valve",
        ],
        ["nothing loose", "inside", "washed, looked and felt through every passage", "light, mirror"],
        ["mass", "assembled", _mass(contents), "scales"],
    ]


def _mass(contents: Contents) -> str:
    built = [piece for piece in contents.case.pieces or () if len(piece.mesh[1])]
    return f"{sum(piece.mass_kg for piece in built):.2f} kg without screws" if built else "not known"
