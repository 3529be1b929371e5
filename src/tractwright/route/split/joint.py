"""The joint at a plane across the runners: both flanges, screws, pins and cord, and the description with it put in."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from tractwright.design.file import Held
from tractwright.design.outside import blended_skin, plate_points
from tractwright.design.records import Bank, Design, Dowel, Flange, Joint, Piece, Screw
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

HEAD, MIDDLE = "head", "middle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """What a bank's split is called: its joint, its head piece, its two flanges."""

    joint: str
    piece: str
    flanges: tuple[str, str]


def names_of(bank: Bank, design: Design) -> Names:
    """The names of a bank's split: they end in the bank's where there are several."""
    end = f".{bank.name}" if len(design.banks) > 1 else ""
    return Names(joint=f"split{end}", piece=f"{HEAD}{end}", flanges=(f"split_head{end}", f"split_middle{end}"))


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


def sizes_of(names: Names, sheet: JobSheet, held: Held) -> Sizes:
    """As the mouth flange: thick enough for a thread, thickened by the same rules."""
    return Sizes(
        head_mm=held.number(f"flange.{names.flanges[0]}.thickness_mm", MOUTH_FLANGE_MM),
        middle_mm=held.number(f"flange.{names.flanges[1]}.thickness_mm", MOUTH_FLANGE_MM),
        root_mm=sheet.runner.root_blend_mm,
    )


def split_at(design: Design, stations_mm: Mapping[str, float], sheet: JobSheet, held: Held) -> Design | None:
    """The description with its head piece split across the runners of each bank, at that station of the bank's first runner;
    None where the runners do not go cleanly through a plane there, or a screw finds no room. Raises TableError, KernelError.
    """
    whole: Design | None = design
    for bank in design.banks:
        whole = _split(whole, bank, stations_mm[bank.name], sheet, held) if whole is not None else None
    return whole


def _split(design: Design, bank: Bank, station_mm: float, sheet: JobSheet, held: Held) -> Design | None:
    names = names_of(bank, design)
    sizes = sizes_of(names, sheet, held)
    plane = split_plane(design, bank, station_mm, sizes.heights_mm)
    if plane is None:
        return None
    widths = Widths(
        root_mm=sizes.root_mm,
        groove_mm=groove_width(sheet.joint.cord_mm),
        lug_mm=lug_radius(sheet.joint.thread),
        pin_mm=DOWEL_MM / 2.0 + PIN_LAND_MM,
    )
    seal = seal_path(plane, widths)
    joint = Joint(
        name=names.joint, kind="split", pieces=(names.piece, MIDDLE), frame=plane.frame, station_mm=station_mm
    )
    parted = _parted(design, bank, joint, sizes, held)
    bare = replace(
        parted, flanges=(*parted.flanges, *_flanges(names, joint, flange_outline(plane, widths, (), ()), sizes))
    )
    plates = _plates(bare, joint)
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
    return replace(
        parted,
        flanges=(*parted.flanges, *_flanges(names, joint, outline, sizes)),
        screws=(*_screws(joint, found, sizes, sheet, held), *parted.screws),
        dowels=(*_dowels(joint, found, sizes, held), *parted.dowels),
        seals=(cord_seal(joint, MIDDLE, seal, sheet, held), *parted.seals),
    )


def _flanges(names: Names, joint: Joint, outline: Contour, sizes: Sizes) -> tuple[Flange, Flange]:
    behind = from_behind(joint.frame)
    return (
        Flange(
            name=names.flanges[0],
            piece=joint.pieces[0],
            joint=joint.name,
            frame=behind,
            contour=carried(outline, joint.frame, behind),
            thickness_mm=sizes.head_mm,
        ),
        Flange(
            name=names.flanges[1],
            piece=MIDDLE,
            joint=joint.name,
            frame=joint.frame,
            contour=outline,
            thickness_mm=sizes.middle_mm,
        ),
    )


def _parted(design: Design, bank: Bank, joint: Joint, sizes: Sizes, held: Held) -> Design:
    """The bank's head piece ends at the joint; all else of what was the head piece is the middle piece's. The joint is made
    first, on the bench, before anything is in the way of its screws.
    """
    on_head = next(item.name for item in design.joints if item.kind == "head" and item.frame == bank.frame)

    def owner(piece: str, its_joint: str) -> str:
        """Whose a thing of a piece is from now on, by the joint it belongs to."""
        if piece not in (HEAD, MIDDLE):
            return piece
        return joint.pieces[0] if its_joint == on_head else MIDDLE

    def both(item: Joint) -> tuple[str, str]:
        return owner(item.pieces[0], item.name), owner(item.pieces[1], item.name)

    return replace(
        design,
        pieces=_pieces(design, joint, held),
        joints=(joint, *(item if item.kind == "split" else replace(item, pieces=both(item)) for item in design.joints)),
        flanges=tuple(replace(item, piece=owner(item.piece, item.joint)) for item in design.flanges),
        screws=tuple(replace(item, tapped_in=owner(item.tapped_in, item.joint)) for item in design.screws),
        seals=tuple(replace(item, piece=owner(item.piece, item.joint)) for item in design.seals),
        runners=tuple(
            replace(item, split_blend_mm=held.number(f"runner.{item.name}.split_blend_mm", sizes.root_mm))
            for item in design.runners
        ),
    )


def _pieces(design: Design, joint: Joint, held: Held) -> tuple[Piece, ...]:
    """The bank's head piece before the middle piece, which is what was the head piece of all."""
    name = joint.pieces[0]
    old = next(item for item in design.pieces if item.name in (HEAD, MIDDLE))
    head = replace(old, name=name, kind="head", material=str(held.get(f"piece.{name}.material", old.material)))
    middle = Piece(name=MIDDLE, kind="middle", material=str(held.get(f"piece.{MIDDLE}.material", old.material)))
    return tuple(piece for item in design.pieces for piece in ((head, middle) if item is old else (item,)))


def _skins(design: Design, plane: SplitPlane) -> Array:
    """Points (n, 3) of skins with their roots, in the plane's frame."""
    skins = [blended_skin(runner, design, tube(runner, design)).reshape(-1, 3) for runner in design.runners]
    return plane.frame.to_local(np.concatenate(skins))


def _plates(design: Design, joint: Joint) -> Array:
    """Points (n, 3) of every other plate of the two pieces, in the joint's frame."""
    plates = [
        plate_points(flange) for flange in design.flanges if flange.joint != joint.name and flange.piece in joint.pieces
    ]
    return joint.frame.to_local(np.concatenate(plates))


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
