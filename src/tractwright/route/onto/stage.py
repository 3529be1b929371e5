"""The whole description round a head piece of the user's own: plenum piece, cover and neck on its mouth face."""

from dataclasses import replace

import numpy as np

from tractwright.design.file import unheeded
from tractwright.design.records import Design, Joint, Mouth, Piece, PieceKind, Runner, Standing
from tractwright.geometry.contours import Contour
from tractwright.geometry.outlines import outline_contour
from tractwright.own.head_records import OwnHead, OwnRunner
from tractwright.own.runners import MOST_LEAN_DEG
from tractwright.route.layout.bosses import bosses
from tractwright.route.layout.chamber import LAND_MM, Chamber, plenum_of
from tractwright.route.layout.head_joint import head_gasket, head_joint, spacers_of
from tractwright.route.layout.places import pads_of
from tractwright.route.layout.plenum_joints import cover_flange, cover_screws, cover_seal
from tractwright.route.layout.standing import standing
from tractwright.route.layout.throttle import Neck, necks
from tractwright.route.onto.chamber import chamber_onto
from tractwright.route.onto.holes import head_screws, rim_dowels, rim_holes, rim_screws
from tractwright.route.onto.joint import floor_onto, own_flanges, seal_onto
from tractwright.route.onto.places import fouled, places_onto
from tractwright.route.records import Described, JobFacts

_SIDES = ("end_1", "end_2", "top", "side_1", "side_2")
_FACTS = {
    "runner": ("poles_mm", "port_lead_mm", "length_mm", "area_mm2", "wall_mm", "mouth.bore_mm", "mouth.at_mm"),
    "flange": ("contour", "thickness_mm"),
}
_SCREW_FACTS = ("seat_mm", "clearance_mm", "counterbore_mm", "slot_mm", "standoff_mm", "grip_mm")


def described_onto(facts: JobFacts, own: OwnHead) -> Described:
    """The description with the piece as it is and everything else designed onto it. Raises TableError."""
    facts = _with_place(facts, own)
    design = _laid_out(facts, own)
    design = replace(design, bosses=bosses(design, facts.sheet, facts.held))
    design = replace(design, standing={**standing(design, facts.sheet, facts.held), **_own_standing(design)})
    return Described(
        design=design,
        feasible=True,
        shortfalls=(),
        binding=(),
        starts_tried=0,
        evaluations=0,
        unheeded=unheeded(facts.held, design),
        own=own,
    )


def _with_place(facts: JobFacts, own: OwnHead) -> JobFacts:
    """The throttle where the sheet says; where it is silent, on the first wall that has room for it and whose ground no
    screw of the piece takes.
    """
    if "place" in facts.sheet.throttle.model_fields_set:
        return facts
    tried = [_on_wall(facts, place) for place in _SIDES if place != facts.sheet.throttle.second]
    return min(tried, key=lambda item: _ill_placed(item, own))


def _on_wall(facts: JobFacts, place: str) -> JobFacts:
    throttle = facts.sheet.throttle.model_copy(update={"place": place})
    return replace(facts, sheet=facts.sheet.model_copy(update={"throttle": throttle}))


def _ill_placed(facts: JobFacts, own: OwnHead) -> tuple[bool, bool]:
    """Whether the neck's pad takes the ground of a screw's head, and whether its opening is too large for the wall."""
    chamber = _chamber(facts, own)
    grounds = [item.ground(chamber, own.mouth_frame) for item in _necks(facts, own, chamber)]
    heads = tuple(hole.at_mm for hole in rim_holes(own) if hole.use == "tapped")
    return fouled(chamber, grounds, heads), chamber.throttle_mm + 2 * LAND_MM > _opens_mm(facts, chamber)


def _opens_mm(facts: JobFacts, chamber: Chamber) -> float:
    """What an opening in a throttle's wall has across [mm], in the least of the walls."""
    found = {"top": min(chamber.height_mm, chamber.width_mm), "end": chamber.height_mm, "side": chamber.width_mm}
    walls = [wall.split("_")[0] for wall in facts.sheet.throttle.walls]
    return min(min(found[wall], chamber.depth_mm) if wall != "top" else found[wall] for wall in walls)


def _chamber(facts: JobFacts, own: OwnHead) -> Chamber:
    return chamber_onto(own, facts.sheet, facts.wanted, facts.held)


def _necks(facts: JobFacts, own: OwnHead, chamber: Chamber) -> tuple[Neck, ...]:
    return necks(chamber, own.mouth_frame, facts.pattern, facts.sheet, facts.held)


def _laid_out(facts: JobFacts, own: OwnHead) -> Design:
    sheet, held, pattern = facts.sheet, facts.held, facts.pattern
    chamber, frame = _chamber(facts, own), own.mouth_frame
    on_head = head_joint(own.bank, "")
    runner_side = Joint(name="runner", kind="runner", pieces=("head", "plenum"), frame=frame)
    top = frame.moved((0.0, 0.0, chamber.top_mm))
    cover_side = Joint(name="cover", kind="cover", pieces=("plenum", "cover"), frame=top)
    ends = _necks(facts, own, chamber)
    grounds = [end.ground(chamber, frame) for end in ends]
    rim = tuple(hole.at_mm for hole in rim_holes(own))
    heads = tuple(hole.at_mm for hole in rim_holes(own) if hole.use == "tapped")
    pins = tuple(hole.at_mm for hole in own.mouth_holes if hole.use == "dowel")
    spots = places_onto(chamber, grounds, rim, heads, pins)
    flanges = own_flanges(own, runner_side)
    return Design(
        name=sheet.job.name,
        banks=pattern.banks,
        ports=own.ports,
        head_holes=pattern.head_holes,
        runners=tuple(_runner(f"r{k}", runner, chamber, facts) for k, runner in enumerate(own.runners, start=1)),
        plena=(plenum_of(chamber, frame, own.bank.name),),
        throttles=tuple(end.throttle for end in ends),
        pieces=_pieces(facts, own, ends),
        flanges=(
            *flanges,
            floor_onto(own, chamber, runner_side, spots, pads_of(grounds)),
            cover_flange(chamber, cover_side, spots),
            *(flange for end in ends for flange in end.flanges),
        ),
        joints=(on_head, runner_side, cover_side, *(joint for end in ends for joint in end.joints)),
        screws=(
            *head_screws(own, pattern, on_head, sheet, held),
            *rim_screws(own, chamber, runner_side, sheet, held),
            *cover_screws(chamber, cover_side, spots, sheet, held),
            *(screw for end in ends for screw in end.screws),
        ),
        dowels=rim_dowels(own, chamber, runner_side),
        seals=(
            head_gasket(own.bank, "", pattern, sheet, held),
            seal_onto(own, chamber, runner_side, sheet, held),
            cover_seal(chamber, cover_side, sheet, held),
            *(end.seal for end in ends),
        ),
        spacers=spacers_of([flange for flange in flanges if flange.joint == on_head.name], sheet),
    )


def _pieces(facts: JobFacts, own: OwnHead, ends: tuple[Neck, ...]) -> tuple[Piece, ...]:
    metal = facts.sheet.shop.material
    head = Piece(
        name="head",
        kind="head",
        material=str(facts.held.get("piece.head.material", metal)),
        own=own.file,
        own_sha256=own.sha256,
        own_solid=own.solid,
        own_frame=own.frame,
    )
    named: tuple[tuple[str, PieceKind], ...] = (
        ("plenum", "plenum"),
        ("cover", "cover"),
        *((end.piece, "neck") for end in ends),
    )
    rest = (
        Piece(name=name, kind=kind, material=str(facts.held.get(f"piece.{name}.material", metal)))
        for name, kind in named
    )
    return (head, *rest)


def _runner(name: str, own: OwnRunner, chamber: Chamber, facts: JobFacts) -> Runner:
    """The traced passage, and straight on through the floor."""
    up = _up(own, facts)
    through = chamber.floor_mm * float(np.linalg.norm((*up, 1.0)))
    length = own.length_mm + through
    lip = facts.held.number(f"runner.{name}.mouth.lip_radius_mm", chamber.lip_mm)
    contour = (
        () if own.outline.kind == "circle" and up == (0.0, 0.0) else _turned(outline_contour(own.outline), own.turn_deg)
    )
    return Runner(
        name=name,
        bank=facts.pattern.banks[0].name,
        ports=own.ports,
        mouth=Mouth(
            plenum=chamber.name,
            at_mm=(own.mouth_mm[0] + up[0] * chamber.floor_mm, own.mouth_mm[1] + up[1] * chamber.floor_mm),
            bore_mm=own.bore_mm,
            lip_radius_mm=lip,
            contour=contour,
            lean=up,
        ),
        poles_mm=own.poles_mm,
        port_lead_mm=own.port_lead_mm,
        mouth_lead_mm=own.end_lead_mm + through,
        length_mm=length,
        length_wanted_mm=facts.held.number(f"runner.{name}.length_mm", facts.wanted.length_mm),
        area_mm2=_schedule(own.area_mm2, length),
        wall_mm=_schedule(own.wall_mm, length),
        port_blend_mm=own.roots_mm[0] or 0.0,
        mouth_blend_mm=own.roots_mm[1] or 0.0,
    )


def _up(own: OwnRunner, facts: JobFacts) -> tuple[float, float]:
    """How far the passage's middle moves in the joint's x-y for each mm up through the floor; no further than can be cut
    with a lip round it.
    """
    if facts.own is None or not 0.0 < own.lean_deg <= MOST_LEAN_DEG:
        return 0.0, 0.0
    x, y, z = facts.own.mouth_frame.matrix() @ np.array(own.leaves)
    return float(x / z), float(y / z)


def _schedule(values: tuple[tuple[float, float], ...], length: float) -> tuple[tuple[float, float], ...]:
    """By share of the whole length; through the floor as at the mouth face."""
    return (*((s / length, value) for s, value in values), (1.0, values[-1][1]))


def _turned(contour: Contour, turn_deg: float) -> Contour:
    c, s = float(np.cos(np.radians(turn_deg))), float(np.sin(np.radians(turn_deg)))
    return tuple((x * c - y * s, x * s + y * c, bulge) for x, y, bulge in contour)


def _own_standing(design: Design) -> dict[str, Standing]:
    """The numbers that the piece says."""
    paths = [f"runner.{runner.name}.{field}" for runner in design.runners for field in _FACTS["runner"]]
    paths += [f"flange.{name}.{field}" for name in ("head", "mouth") for field in _FACTS["flange"]]
    paths += [f"screw.{s.name}.{field}" for s in design.screws if s.joint == "head" for field in _SCREW_FACTS]
    return dict.fromkeys(paths, "fact")
