"""Everything the page needs, as text."""

from collections.abc import Collection
from typing import Any

from tractwright.packet.contents import Contents
from tractwright.packet.drawing.hole_sheet import HoleSheet
from tractwright.packet.paper import making, parts
from tractwright.packet.paper.bosses import boss_rows
from tractwright.packet.paper.channels import channel_notes, channel_rows
from tractwright.packet.paper.front import front
from tractwright.packet.paper.proof import inspection
from tractwright.packet.paper.strength import strength_notes, strength_rows
from tractwright.packet.paper.words import Rows, figure
from tractwright.sources import source
from tractwright.standards.cautions import caution_texts

_KINDS = {
    "head": "head piece",
    "middle": "middle piece",
    "plenum": "plenum piece",
    "cover": "cover",
    "neck": "throttle neck",
}


def paper_data(contents: Contents, pictures: Collection[str], sheets: tuple[HoleSheet, ...]) -> dict[str, Any]:
    """The page's data. pictures : names of the files drawn for it, without their suffix."""
    case = contents.case
    return {
        **front(contents),
        "pictures": dict.fromkeys(pictures, True),
        "air": case.breathing is not None,
        "air_notes": "; ".join(case.breathing.notes) if case.breathing else "",
        "thumbs": _rules_of_thumb(contents),
        "long_sections": [f"long_section_{runner.name}.svg" for runner in case.design.runners],
        "pieces": parts.pieces(contents),
        "piece_notes": [f"{p.name}: {note}" for p in case.pieces or () for note in (*p.notes, p.fallback) if note],
        "piece_pictures": _piece_pictures(contents, pictures),
        "parts": parts.parts_list(contents),
        "joints": parts.joints(contents),
        "spacer_notes": parts.spacer_notes(contents),
        "strength": strength_rows(contents),
        "strength_notes": strength_notes(contents),
        "bosses": boss_rows(case.design),
        "channels": channel_rows(case.design),
        "channel_notes": channel_notes(contents),
        "torques": parts.torque_sheet(contents),
        "orders": parts.orders(contents),
        "passages": making.passages(contents),
        "setups": making.setups(contents, pictures),
        "making_notes": making.making_notes(contents),
        "price": making.price(contents),
        "hangs_on": making.hangs_on(contents),
        "alternatives": making.alternatives(contents),
        "currency": case.plan.currency if case.plan else "",
        "inspection": inspection(contents),
        "cautions": _cautions(contents),
        "sources": _sources(contents),
        "hole_sheets": [_hole_sheet(sheet) for sheet in sheets],
    }


def _rules_of_thumb(contents: Contents) -> Rows:
    breathing = contents.case.breathing
    thumbs = breathing.rules_of_thumb if breathing else ()
    return [[item.name, figure(item.value, item.unit.strip("-")), item.label] for item in thumbs]


def _piece_pictures(contents: Contents, pictures: Collection[str]) -> list[dict[str, str]]:
    found: list[dict[str, str]] = []
    for piece in contents.case.design.pieces:
        for side, words in (("front", "from above"), ("back", "from the engine")):
            if f"{piece.name}_{side}" in pictures:
                named = _KINDS[piece.kind] if piece.name == piece.kind else f"{_KINDS[piece.kind]} {piece.name}"
                found.append({"file": f"{piece.name}_{side}.png", "title": f"{named}, seen {words}"})
    return found


def _sources(contents: Contents) -> Rows:
    keys = sorted({finding.source for finding in contents.findings})
    return [[source(key).text, "" if source(key).verified else "unverified"] for key in keys]


def _hole_sheet(sheet: HoleSheet) -> dict[str, Any]:
    front_piece, behind = (_side(sheet, index) for index in (0, 1))
    return {
        "file": f"holes_{sheet.joint}.svg",
        "joint": sheet.joint,
        "scale": f"1 : {sheet.divisor}",
        "paper": sheet.paper,
        "across": sheet.across,
        "width": sheet.width_mm,
        "size": f"{sheet.size_mm[0]:.2f} x {sheet.size_mm[1]:.2f} mm",
        "first": front_piece,
        "second": behind,
        "behind": sheet.behind,
        "outlines": [name.replace("_", " ") for name in sheet.outlines],
        "rows": [[h.number, f"{h.x_mm:.2f}", f"{h.y_mm:.2f}", h.in_first, h.in_second] for h in sheet.holes],
    }


def _side(sheet: HoleSheet, index: int) -> str:
    return sheet.pieces[index].replace("_", " ")


def _cautions(contents: Contents) -> list[dict[str, str]]:
    case = contents.case
    found = caution_texts(case.sheet.air.fuel, *making.cautioned(case.plan))
    return [{"topic": caution.topic, "text": caution.text} for caution in found]
