"""The joint at a plane across the runners: both flanges, screws, pins and cord, and the description with it put in."""

from dataclasses import dataclass, replace

import numpy as np

from tractwright.design.file import Held
from tractwright.design.outside import blended_skin, plate_points
from tractwright.design.records import Design, Dowel, Flange, Joint, Piece, Screw
from tractwright.design.tube import tube
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, vec3
from tractwright.geometry.placing import carried, from_behind
from tractwright.job.sheet import JobSheet
from tractwright.route.layout.chamber import MOUTH_FLANGE_MM, groove_width
from tractwright.route.layout.places import DOWEL_MM
from tractwright.route.layout.plenum_joints import PIN_LAND_MM, cord_seal, dowel
from tractwright.route.layout.screws import head_radius, lug_radius, make_screw, tapped
from tractwright.route.split.outlines import Widths, flange_outline, seal_path
from tractwright.route.split.places import Ground, Side, Spots, spots
from tractwright.route.split.plane import SplitPlane, split_plane

SPLIT = "split"
HEAD, MIDDLE = "head", "middle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """Thickness of the head piece's and of the middle piece's flange, and the root radius on both [mm]."""

    head_mm: float
    middle_mm: float
    root_mm: float

    @property
    def heights_mm(self) -> tuple[float, float, float]:
        """The outer faces and the joint's plane, along its z."""
        return (-self.head_mm, 0.0, self.middle_mm)


def sizes_of(sheet: JobSheet, held: Held) -> Sizes:
    """As the mouth flange: thick enough for a thread, thickened by the same rules."""
    return Sizes(
        head_mm=held.number("flange.split_head.thickness_mm", MOUTH_FLANGE_MM),
        middle_mm=held.number("flange.split_middle.thickness_mm", MOUTH_FLANGE_MM),
        root_mm=sheet.runner.root_blend_mm,
    )


def split_at(design: Design, station_mm: float, sheet: JobSheet, held: Held) -> Design | None:
    """The description with its head piece split at that station of the first runner; None where the runners do not go
    cleanly through a plane there, or a screw finds no room. Raises TableError, KernelError.
    """
    sizes = sizes_of(sheet, held)
    plane = split_plane(design, station_mm, sizes.heights_mm)
    if plane is None:
        return None
    widths = Widths(
        root_mm=sizes.root_mm,
        groove_mm=groove_width(sheet.joint.cord_mm),
        lug_mm=lug_radius(sheet.joint.thread),
        pin_mm=DOWEL_MM / 2.0 + PIN_LAND_MM,
    )
    seal = seal_path(plane, widths)
    joint = Joint(name=SPLIT, kind="split", pieces=(HEAD, MIDDLE), frame=plane.frame, station_mm=station_mm)
    bare = _put_in(design, joint, _flanges(joint, flange_outline(plane, widths, (), ()), sizes), sizes, held)
    plates = _plates(bare, plane)
    ground = Ground(
        plane=plane,
        around_mm=np.concatenate([_skins(bare, plane), plates]),
        plates_mm=plates,
        seal=seal,
        groove_mm=widths.groove_mm,
        thickness_mm=max(sizes.head_mm, sizes.middle_mm),
        screw=sheet.joint.thread,
    )
    found = spots(ground)
    if found is None:
        return None
    outline = flange_outline(plane, widths, found.screws, found.pins)
    whole = _put_in(design, joint, _flanges(joint, outline, sizes), sizes, held)
    return replace(
        whole,
        screws=(*_screws(joint, found, sizes, sheet, held), *whole.screws),
        dowels=(*_dowels(joint, found, sizes, held), *whole.dowels),
        seals=(cord_seal(joint, MIDDLE, seal, sheet, held), *whole.seals),
    )


def _flanges(joint: Joint, outline: Contour, sizes: Sizes) -> tuple[Flange, Flange]:
    behind = from_behind(joint.frame)
    return (
        Flange(
            name="split_head",
            piece=HEAD,
            joint=joint.name,
            frame=behind,
            contour=carried(outline, joint.frame, behind),
            thickness_mm=sizes.head_mm,
        ),
        Flange(
            name="split_middle",
            piece=MIDDLE,
            joint=joint.name,
            frame=joint.frame,
            contour=outline,
            thickness_mm=sizes.middle_mm,
        ),
    )


def _put_in(design: Design, joint: Joint, flanges: tuple[Flange, Flange], sizes: Sizes, held: Held) -> Design:
    """The head piece ends at the joint; what it ended in before is the middle piece's. The joint is made first, on the
    bench, before anything is in the way of its screws.
    """
    moved = {item.name for item in design.joints if item.kind == "runner" and item.pieces[0] == HEAD}
    head = next(item for item in design.pieces if item.name == HEAD)
    material = str(held.get(f"piece.{MIDDLE}.material", head.material))
    return replace(
        design,
        pieces=tuple(
            piece
            for item in design.pieces
            for piece in ((item, Piece(name=MIDDLE, kind="middle", material=material)) if item is head else (item,))
        ),
        joints=(
            joint,
            *(replace(item, pieces=(MIDDLE, item.pieces[1])) if item.name in moved else item for item in design.joints),
        ),
        flanges=(
            *(
                replace(item, piece=MIDDLE) if item.piece == HEAD and item.joint in moved else item
                for item in design.flanges
            ),
            *flanges,
        ),
        screws=tuple(
            replace(item, tapped_in=MIDDLE) if item.joint in moved and item.tapped_in == HEAD else item
            for item in design.screws
        ),
        runners=tuple(
            replace(item, split_blend_mm=held.number(f"runner.{item.name}.split_blend_mm", sizes.root_mm))
            for item in design.runners
        ),
    )


def _skins(design: Design, plane: SplitPlane) -> Array:
    """Points (n, 3) of skins with their roots, in the plane's frame."""
    skins = [blended_skin(runner, design, tube(runner, design)).reshape(-1, 3) for runner in design.runners]
    return plane.frame.to_local(np.concatenate(skins))


def _plates(design: Design, plane: SplitPlane) -> Array:
    """Points (n, 3) of every other plate of the two pieces, in the plane's frame."""
    plates = [
        plate_points(flange) for flange in design.flanges if flange.joint != SPLIT and flange.piece in (HEAD, MIDDLE)
    ]
    return plane.frame.to_local(np.concatenate(plates))


def _screws(joint: Joint, found: Spots, sizes: Sizes, sheet: JobSheet, held: Held) -> tuple[Screw, ...]:
    """Through the flange on the heads' side into threads that go right through the other."""
    side: Side = found.side
    grip, threaded = (sizes.middle_mm, sizes.head_mm) if side > 0 else (sizes.head_mm, sizes.middle_mm)
    pieces = joint.pieces if side > 0 else (joint.pieces[1], joint.pieces[0])
    size = sheet.joint.thread
    fastening = tapped(replace(joint, pieces=pieces), size, sheet, threaded, through=True)
    direction = vec3(-side * np.array(joint.frame.z))
    seats = [vec3(joint.frame.to_world((*place, side * grip))) for place in found.screws]
    post = 2.0 * (head_radius(size) + 0.5)
    return tuple(
        make_screw(f"{joint.name}.s{k}", fastening, held, (seat, direction), (grip, 0.0, post))
        for k, seat in enumerate(seats, start=1)
    )


def _dowels(joint: Joint, found: Spots, sizes: Sizes, held: Held) -> tuple[Dowel, ...]:
    return tuple(
        dowel(f"{joint.name}.d{k}", joint, place, (sizes.head_mm, sizes.middle_mm), held)
        for k, place in enumerate(found.pins, start=1)
    )
