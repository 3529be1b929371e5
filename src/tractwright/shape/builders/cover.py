"""The cover: a plate on the plenum's walls; with a throttle on top also the neck's pad and the opening."""

from tractwright.design.records import Design, Flange, Joint, Piece
from tractwright.errors import KernelError
from tractwright.geometry.offsets import is_smooth
from tractwright.geometry.placing import carried
from tractwright.kernel.checked import Checked, cut, fused
from tractwright.kernel.shells import Entry, Slab, Stand, plate
from tractwright.shape.bosses import wall_bosses, with_boss_blends
from tractwright.shape.finish import Blends, finely_meshed, finished
from tractwright.shape.parts.bodies import body as bodied
from tractwright.shape.parts.bodies import prism
from tractwright.shape.parts.features import with_features
from tractwright.shape.parts.finishes import BEYOND_MM, BREAK_MM, ROOTS_MM, THROTTLE_LIP_MM
from tractwright.shape.parts.gates import axis_at, fed_by, inlets, lipped_bore
from tractwright.shape.records import BuiltPiece

KIND = "cover"

_LEAST_PAD_MM = 1.0


def build(piece: Piece, design: Design) -> BuiltPiece:
    """The exact cover in the job frame. Raises KernelError naming the step that no rung of its ladder passes."""
    flange = _flange(piece, design)
    joints = inlets(piece.name, design)
    pads = [joint for joint in joints if _height(joint, flange) > flange.thickness_mm + _LEAST_PAD_MM]
    passages = [_passage(joint, flange, design) for joint in joints]
    body, root, notes = _plate(flange, pads, passages, design)
    bossed = wall_bosses(body, piece.name, design)
    body = with_features(bossed.body, piece.name, design)
    blends = Blends(wanted=len(pads), made=len(pads) if root > 0.0 else 0)
    fine = finely_meshed(body)
    return with_boss_blends(finished(piece, body, fine, blends, (*notes, *bossed.notes)), fine, bossed)


def _flange(piece: Piece, design: Design) -> Flange:
    kinds = {joint.name: joint.kind for joint in design.joints}
    found = [f for f in design.flanges if f.piece == piece.name and kinds[f.joint] == "cover"]
    if not found:
        raise KernelError(f"piece {piece.name}", "it has no flange on a cover joint")
    return found[0]


def _plate(
    flange: Flange, pads: list[Joint], passages: list[Entry], design: Design
) -> tuple[Checked, float, tuple[str, ...]]:
    """The plate with its pads, the root radius that was made, and what a reader should know."""
    edge = BREAK_MM if is_smooth(flange.contour) else 0.0
    slab = Slab(contour=flange.contour, frame=flange.frame, thickness_mm=flange.thickness_mm, break_mm=edge)
    for root in ROOTS_MM:
        try:
            stands = [_stand(joint, flange, design, root) for joint in pads]
            body = bodied(plate(slab, stands, passages))
        except KernelError:
            continue
        small = f"the pad's root on the cover has {root:g} mm, not {ROOTS_MM[0]:g}: the cover is narrow"
        return body, root, () if root == ROOTS_MM[0] or not pads else (small,)
    return _joined(slab, pads, passages, design), 0.0, ("the pad stands on the cover without a root: it has no room",)


def _joined(slab: Slab, pads: list[Joint], passages: list[Entry], design: Design) -> Checked:
    """Plate and pads joined and bored, for pads that reach over the plate's edge."""
    blocks = []
    for joint in pads:
        above = next(flange for flange in design.flanges if flange.joint == joint.name)
        height = float(slab.frame.to_local(joint.frame.origin_mm)[2])
        blocks.append(prism(carried(above.contour, above.frame, slab.frame), slab.frame, height))
    body = fused(bodied(plate(slab)), blocks, "the cover and its pads")
    bores = [
        lipped_bore(entry.frame, entry.bore_mm / 2.0, entry.lip_across_mm, (-BEYOND_MM, entry.length_mm + BEYOND_MM))
        for entry in passages
    ]
    return cut(body, bores, "the openings in the cover")


def _stand(joint: Joint, flange: Flange, design: Design, root_mm: float) -> Stand:
    """The pad under a neck has the outline of the neck's own flange; its root is no higher than the pad."""
    above = next((f for f in design.flanges if f.joint == joint.name), None)
    if above is None:
        raise KernelError(f"the pad of {joint.name}", "no flange has its outline")
    height = _height(joint, flange)
    outline = carried(above.contour, above.frame, flange.frame)
    least = height - flange.thickness_mm
    smooth = is_smooth(outline)
    edge = min(BREAK_MM, least / 4.0) if smooth else 0.0
    root = min(root_mm, least - edge - 0.1) if smooth else 0.0
    return Stand(outline=outline, root_mm=root, height_mm=height, break_mm=edge)


def _passage(joint: Joint, flange: Flange, design: Design) -> Entry:
    """From the inside of the cover to the joint, its mouth rounded as far as the cover's thickness goes."""
    throttle = fed_by(joint, design)
    centre = axis_at(joint, throttle)
    x, y, height = (float(value) for value in flange.frame.to_local(centre.origin_mm))
    lip = min(THROTTLE_LIP_MM, height - 1.0)
    return Entry(
        frame=flange.frame.moved((x, y, 0.0)),
        bore_mm=throttle.bore_mm,
        lip_across_mm=lip,
        lip_deep_mm=lip,
        length_mm=height,
    )


def _height(joint: Joint, flange: Flange) -> float:
    """Of a joint's plane over the cover's own."""
    return float(flange.frame.to_local(joint.frame.origin_mm)[2])
