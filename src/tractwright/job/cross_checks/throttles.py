"""Throttle bodies on the mouths: what they leave no room for, and what cannot be done with them yet."""

from collections.abc import Iterator

from tractwright.job.cross_check import CrossCheck, CrossFault
from tractwright.job.fields import key_of_field
from tractwright.job.sheet import JobSheet

_SAME_MM = 0.4
_LEAST_METAL_MM = 6.0
"""Between two bodies' bores: two walls of 3 mm. Source: common_practice."""


def no_plenum(sheet: JobSheet) -> Iterator[CrossFault]:
    """Where bodies sit on the mouths there is no plenum, no neck, no rounded entry of ours."""
    if not sheet.throttle.on_mouths:
        return
    for field in sorted(sheet.plenum.model_fields_set):
        key = key_of_field(field)
        yield ("plenum", key), f"{key}, with throttles on the mouths", "nothing: there is no plenum then"
    if "neck_mm" in sheet.throttle.model_fields_set:
        yield ("throttle", "neck"), "a length, with bodies on the mouths", "nothing: they bolt to the runners' flange"
    if sheet.runner.lip_radius_mm is not None:
        accepted = "nothing: the runner goes on into its body; throttle.bell rounds the entry"
        yield ("runner", "lip_radius"), f"{sheet.runner.lip_radius_mm:g} mm, with throttles on the mouths", accepted
    for i, boss in enumerate(sheet.boss):
        if boss.wall is not None:
            yield ("boss", i, "wall"), f'"{boss.wall}", with throttles on the mouths', "a boss on runners"


def two_walls(sheet: JobSheet) -> Iterator[CrossFault]:
    """A second throttle stands on another wall than the first, and only where there is a plenum."""
    facts = sheet.throttle
    if facts.second is None:
        return
    if facts.on_mouths:
        accepted = "nothing: every mouth has its throttle already"
        yield ("throttle", "second"), f'"{facts.second}", with throttles on the mouths', accepted
    elif facts.second == facts.place and ("place" in facts.model_fields_set or not sheet.piece):
        yield (
            ("throttle", "second"),
            f'"{facts.second}", where the first one stands',
            "another wall than throttle.place",
        )


def one_head_of_ours(sheet: JobSheet) -> Iterator[CrossFault]:
    """So far bodies go on the mouths of one head piece, drawn by the tool, on one head."""
    if not sheet.throttle.on_mouths:
        return
    accepted = "a wall of the plenum: bodies on mouths are made for one head so far"
    if sheet.bank:
        yield ("throttle", "place"), "mouths, with [[bank]] tables", accepted
    if sheet.piece:
        yield ("throttle", "place"), "mouths, on a piece drawn already", "a wall of the plenum, or no [[piece]]"


def bores_agree(sheet: JobSheet) -> Iterator[CrossFault]:
    """A runner ends as wide as the body on it, and a bank's bodies stand further apart than their bores are wide."""
    facts = sheet.throttle
    if not facts.on_mouths or "bore_mm" not in facts.model_fields_set:
        return
    bore = sheet.runner.bore_mm
    if bore is not None and abs(bore - facts.bore_mm) > _SAME_MM:
        given = f"{bore:g} mm, under a body of {facts.bore_mm:g} mm"
        yield ("runner", "bore"), given, f"nothing, or {facts.bore_mm:g} mm: the body's"
    least = facts.bore_mm + _LEAST_METAL_MM
    if facts.pitch_mm is not None and facts.pitch_mm < least:
        given = f"{facts.pitch_mm:g} mm, with bores of {facts.bore_mm:g} mm"
        yield ("throttle", "pitch"), given, f"at least {least:g} mm"


def boost_is_kept(sheet: JobSheet) -> Iterator[CrossFault]:
    """Pressure before open trumpets needs a box that keeps it."""
    if sheet.throttle.on_mouths and sheet.air.boost_bar > 0.0 and sheet.air.box_l == 0.0:
        yield (
            ("air", "boost"),
            f"{sheet.air.boost_bar:g} bar, with throttles on the mouths",
            "0, or an air box: air.box",
        )


def row_is_placed(sheet: JobSheet) -> Iterator[CrossFault]:
    """A direction points somewhere, and the row lies in front of the head."""
    facts = sheet.throttle
    if facts.direction is not None and not any(facts.direction):
        yield ("throttle", "direction"), "[0, 0, 0]", "a direction, such as [0, 1, 0]"
    if facts.at_mm is not None and facts.at_mm[2] <= 0.0:
        spelled = "[" + ", ".join(f"{value:g}" for value in facts.at_mm) + "]"
        yield ("throttle", "at"), spelled, "z above 0: in front of the head face"


CHECKS = (
    CrossCheck(("throttle.place", "throttle.neck", "plenum", "runner.lip_radius", "boss.wall"), no_plenum),
    CrossCheck(("throttle.place", "throttle.second", "piece"), two_walls),
    CrossCheck(("throttle.place", "bank", "piece"), one_head_of_ours),
    CrossCheck(("throttle.place", "throttle.bore", "throttle.pitch", "runner.bore"), bores_agree),
    CrossCheck(("throttle.place", "air.boost", "air.box"), boost_is_kept),
    CrossCheck(("throttle.direction", "throttle.at"), row_is_placed),
)
