"""What is bought and how it goes together: pieces, parts list, joints, torque sheet."""

from collections import Counter
from itertools import groupby, pairwise

import numpy as np

from tractwright.design.body_row import BodyRow
from tractwright.design.records import Design, Joint, Screw, Seal, Throttle
from tractwright.design.spacer_space import spacer_name, through
from tractwright.geometry.contours import contour_length
from tractwright.packet.contents import Contents
from tractwright.packet.paper.channels import channel_parts
from tractwright.packet.paper.words import Rows, figure, numbered, span
from tractwright.shape.records import BuiltPiece
from tractwright.standards.threads import thread
from tractwright.strength.records import SpacerLoad

_STEPS = (0.4, 0.7, 1.0)
"""Shares of the full torque in which a joint is drawn down (common practice, no source)."""


def pieces(contents: Contents) -> Rows:
    """Each piece with its metal, its block and how it was built."""
    plan = contents.case.plan
    stocks = {stock.piece: stock for stock in plan.stocks} if plan else {}
    rows: Rows = []
    for piece in contents.case.pieces or ():
        record = next(item for item in contents.case.design.pieces if item.name == piece.name)
        stock = stocks.get(piece.name)
        rows.append(
            [
                piece.name,
                record.material,
                " x ".join(f"{side:.0f}" for side in stock.size_mm) if stock else "",
                f"{stock.mass_kg:.1f}" if stock else "",
                f"{piece.mass_kg:.2f}" if len(piece.mesh[1]) else "",
                _built(piece),
                f"{piece.blends_made} of {piece.blends_wanted}" if piece.blends_wanted else "none wanted",
            ]
        )
    return rows


def _built(piece: BuiltPiece) -> str:
    if piece.solid is not None and piece.valid and piece.watertight:
        return "exact, valid, closed"
    return "mesh only, for a printed trial" if len(piece.mesh[1]) else "NOT built"


def parts_list(contents: Contents) -> Rows:
    """Everything to buy or cut to length: how many, what, for which joint."""
    design = contents.case.design
    fasteners = [*_screw_parts(design), *_washer_parts(design), *_dowel_parts(design)]
    bought = [*channel_parts(design), *_body_parts(design), *_balance_parts(contents)]
    return [*fasteners, *_seal_parts(design), *_spacer_parts(contents), *bought]


def _screw_parts(design: Design) -> Rows:
    count = Counter((s.thread, s.length_mm, s.property_class, s.head) for s in design.screws)
    heads = {"cap": "hexagon socket cap screw", "hex": "hexagon head screw"}
    rows: Rows = []
    for (size, length, grade, head), number in sorted(count.items()):
        joints = sorted(
            {
                s.joint
                for s in design.screws
                if (s.thread, s.length_mm, s.property_class, s.head) == (size, length, grade, head)
            }
        )
        rows.append([f"{number}", f"{heads[head]} {size} x {length:.4g}, class {grade}", ", ".join(joints)])
    return rows


def _washer_parts(design: Design) -> Rows:
    count = Counter((s.washer, thread(s.thread).major_mm) for s in design.screws if s.washer)
    rows: Rows = []
    for (washer, major), number in sorted(count.items()):
        joints = sorted({s.joint for s in design.screws if (s.washer, thread(s.thread).major_mm) == (washer, major)})
        rows.append([f"{number}", f"washer {washer}, {major:.4g} mm", ", ".join(joints)])
    return rows


def _dowel_parts(design: Design) -> Rows:
    count = Counter((d.diameter_mm, d.depth_first_mm + d.depth_second_mm, d.joint) for d in design.dowels)
    return [
        [f"{number}", f"dowel pin {diameter:.4g} mm, at most {length:.4g} long", joint]
        for (diameter, length, joint), number in sorted(count.items())
    ]


def _body_parts(design: Design) -> Rows:
    """Throttle bodies on the mouths, bought with their spindles, and the trumpets on them."""
    rows: Rows = []
    for row in design.body_rows:
        own = [item for item in design.throttles if item.plenum == row.name]
        bore = span([item.bore_mm for item in own], 1, "mm")
        text = f"throttle body, bore {bore}, {row.body_mm:.4g} mm long, flange {row.flange_mm:.4g} mm"
        rows.append([f"{len(own)}", f"{text}, on one line{_pitch(row, own)}", "runner"])
        if row.trumpet_mm + row.bell_mm > 0.0:
            trumpet = f"intake trumpet, bore {bore}, {row.trumpet_mm:.4g} mm straight, bell radius {row.bell_mm:.4g} mm"
            rows.append([f"{len(own)}", trumpet, ""])
    return rows


def _balance_parts(contents: Contents) -> Rows:
    """The pipe between two plena: the air has it, the pieces have not."""
    air, plena = contents.case.sheet.air, contents.case.design.plena
    if air.balance_length_mm == 0.0 or len(plena) == 1:
        return []
    size = f"bore {air.balance_bore_mm:.4g} mm, {air.balance_length_mm:.4g} mm long"
    text = f"balance pipe, {size}; its fittings are not drawn: the shop's own"
    return [[f"{len(plena) - 1}", text, "between the plena"]]


def _pitch(row: BodyRow, own: list[Throttle]) -> str:
    """How far from one to the next the bodies stand, in words."""
    along = sorted(float(row.frame.to_local(item.frame.origin_mm)[0]) for item in own)
    return f", {span([b - a for a, b in pairwise(along)], 1, 'mm')} apart" if len(along) > 1 else ""


def _seal_parts(design: Design) -> Rows:
    """Like seals of a joint on one line."""
    spaced = {spacer.joint for spacer in design.spacers}
    count: Counter[tuple[str, str]] = Counter()
    for seal in design.seals:
        doubled = seal.kind == "gasket" and seal.joint in spaced
        text = f"{_seal_text(seal)}, one on each face of the spacer" if doubled else _seal_text(seal)
        count[text, seal.joint] += 2 if doubled else 1
    return [[f"{number}", text, joint] for (text, joint), number in count.items()]


def _seal_text(seal: Seal) -> str:
    rubber = f" {seal.material}" if seal.material else ", rubber to suit fuel and heat"
    if seal.kind == "cord":
        return f"round cord {seal.section_mm:.2f} mm{rubber}: {contour_length(seal.path):.0f} mm round the groove"
    return f"sheet gasket {seal.section_mm:.4g} mm thick, cut to the hole sheet"


def _spacer_parts(contents: Contents) -> Rows:
    design = contents.case.design
    records = {spacer.name: spacer for spacer in design.spacers}
    rows: Rows = []
    for load in contents.case.loads.spacers:
        spacer = records[load.spacer]
        lean = ", its openings cut along the ports" if through(spacer, design).leans else ""
        name = spacer_name(spacer.name)
        text = f"insulating spacer, {spacer.material} {spacer.thickness_mm:.4g} mm, {load.mass_kg:.2f} kg, cut to the "
        rows.append(["1", f"{text}{name} hole sheet{lean}", spacer.joint])
    return rows


def spacer_notes(contents: Contents) -> list[str]:
    """What an insulating spacer does to heat and screws; nothing where there is none."""
    return [_spacer_note(load) for load in contents.case.loads.spacers]


def _spacer_note(load: SpacerLoad) -> str:
    return (
        f"{spacer_name(load.spacer).capitalize()}: for each kelvin between head and flange {load.passes_w_k:.2f} W pass, "
        f"{load.screws_w_k:.2f} W of it along the screws; with the gasket alone it would be {load.bare_w_k:.1f} W (conduction "
        f"of a sheet gasket from memory, unverified). It bears {load.pressure_mpa:.0f} MPa under {load.screw}. A gasket goes "
        "on each face of it. Laminates and plastics settle: once it has been warm and is cold again, tighten these screws "
        "once more (common practice, no source)."
    )


def joints(contents: Contents) -> Rows:
    """Each joint: between what, how screwed and sealed, how far from opening."""
    loads = {item.joint: item for item in contents.case.loads.joints}
    rows: Rows = []
    for joint in contents.case.design.joints:
        load = loads.get(joint.name)
        apart = f"{figure(load.separation_factor)} times" if load and np.isfinite(load.separation_factor) else ""
        rows.append(
            [joint.name, _between(joint), _screwed(contents.case.design, joint), _sealed(contents, joint), apart]
        )
    return rows


def _between(joint: Joint) -> str:
    return f"{joint.pieces[0]} and {joint.pieces[1]}".replace("_", " ")


def _screwed(design: Design, joint: Joint) -> str:
    sizes = Counter(screw.thread for screw in design.screws if screw.joint == joint.name)
    return ", ".join(f"{number} x {size}" for size, number in sorted(sizes.items())) or "the throttle body's own"


def _sealed(contents: Contents, joint: Joint) -> str:
    seal: Seal | None = next((s for s in contents.case.design.seals if s.joint == joint.name), None)
    if seal is None:
        return "the throttle body's own" if joint.kind == "body" else "none"
    if seal.kind == "gasket":
        spacer = next((s for s in contents.case.design.spacers if s.joint == joint.name), None)
        text = f"gasket {seal.section_mm:.4g} mm"
        return f"{text}, {spacer.material} spacer {spacer.thickness_mm:.4g} mm, {text}" if spacer else text
    load = next((item for item in contents.case.loads.seals if item.seal == seal.name), None)
    fill = (
        f", squeeze {load.squeeze:.0%}, groove filled {load.fill_nominal:.0%} (worst {load.fill_worst:.0%})"
        if load
        else ""
    )
    groove = f"groove {seal.groove_width_mm:.2f} wide, {seal.groove_depth_mm:.2f} deep"
    several = sum(item.joint == joint.name for item in contents.case.design.seals)
    each = f"{several} of " if several > 1 else ""
    return f"{each}cord {seal.section_mm:.2f} in {groove} in the {seal.piece}{fill}"


def torque_sheet(contents: Contents) -> Rows:
    """Screws that are alike in a joint on one line: figures, torque in three steps, where it comes from."""
    rows: Rows = []
    for joint in contents.case.design.joints:
        screws = sorted((s for s in contents.case.design.screws if s.joint == joint.name), key=_figures)
        rows += [_torque_row(list(group)) for _, group in groupby(screws, key=_figures)]
    return rows


def _figures(screw: Screw) -> tuple[object, ...]:
    rounded = (screw.length_mm, screw.grip_mm, screw.engagement_mm, screw.standoff_mm, screw.torque_nm)
    return (screw.thread, screw.property_class, screw.torque_from, *(round(value, 2) for value in rounded))


def _torque_row(alike: list[Screw]) -> list[str]:
    first = alike[0]
    names = sorted((screw.name for screw in alike), key=lambda name: (len(name), name))
    return [
        numbered(names),
        f"{first.thread} x {first.length_mm:.4g}",
        first.property_class,
        f"{first.grip_mm:.1f}",
        f"{first.engagement_mm:.1f}",
        f"{first.standoff_mm:.1f}" if first.standoff_mm else "flush",
        " / ".join(f"{first.torque_nm * share:.1f}" for share in _STEPS),
        first.torque_from,
    ]


def orders(contents: Contents) -> Rows:
    """For each joint the order in which its screws are drawn down."""
    found: Rows = []
    for joint in contents.case.design.joints:
        screws = [screw for screw in contents.case.design.screws if screw.joint == joint.name]
        if screws:
            found.append([joint.name, ", ".join(_order(joint, screws))])
    return found


def _order(joint: Joint, screws: list[Screw]) -> list[str]:
    """From the middle outwards, each time across to the other side (common practice, no source)."""
    places = {s.name: joint.frame.to_local(s.seat_mm)[:2] for s in screws}
    middle = np.mean(list(places.values()), axis=0)
    away = {name: float(np.linalg.norm(place - middle)) for name, place in places.items()}
    left, done = sorted(places, key=lambda name: (round(away[name], 3), name)), list[str]()
    while left:
        near = [name for name in left if away[name] <= away[left[0]] * 1.35 + 1.0]
        last = places[done[-1]] if done else middle
        chosen = (
            max(near, key=lambda name: (round(float(np.linalg.norm(places[name] - last)), 3), name))
            if done
            else near[0]
        )
        done.append(chosen)
        left.remove(chosen)
    return [name.rpartition(".")[2] for name in done]
