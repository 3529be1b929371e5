"""The ways a shop can hold each kind of piece, and the features of each kind (common practice, no source).

Features are plain words; a hold needs, forbids and makes them. Sealing faces are finished last, after the part has been
let go once, so that what the stock's stress moves is cut off.
"""

from dataclasses import dataclass

import numpy as np

from tractwright.design.records import Design, Flange, Piece
from tractwright.geometry.frames import Vec3, vec3
from tractwright.job.shop_tables import Shop
from tractwright.make.setups import Hold

_SETUP_MIN = {"3-axis": 25.0, "rotary axis": 35.0, "tilting table": 40.0}


_ENDS = {"head": ("head", "port"), "split": ("split", "split"), "runner": ("mouth", "mouth")}
"""What a face and its holes are called by the kind of their joint, and from where its passages are cut."""


def features_of(design: Design, piece: Piece) -> frozenset[str]:
    """What has to be cut on a piece."""
    if piece.kind in ("head", "middle"):
        return frozenset().union({"skins"}, _seats(design, piece), *(_made_at(end) for end in _ends(design, piece)))
    return frozenset(
        {
            "plenum": {"floor face roughed", "rim holes", "floor face finished", "groove", "inside", "outside", "lips",
                       "cover face finished", "column holes", "throttle pad"},
            "cover": {"seal face", "groove", "outline", "screw holes", "outer face"},
            "neck": {"bore", "neck flange face", "groove", "body flange face", "outside", "holes"},
        }[piece.kind]
    )  # fmt: skip


def holds_for(shop: Shop, design: Design, piece: Piece) -> tuple[Hold, ...]:
    """Every way to hold a piece on the shop's machine."""
    if piece.kind in ("head", "middle"):
        return _through_holds(shop, design, piece)
    flanges = {flange.joint: flange for flange in design.flanges if flange.piece == piece.name}
    makers = {"plenum": _plenum_holds, "cover": _cover_holds, "neck": _neck_holds}
    return makers[piece.kind](shop, flanges)


@dataclass(frozen=True, slots=True, kw_only=True)
class _End:
    """One end of a piece that runners go through. name : of its face and holes; passages_from : what the cut is called."""

    name: str
    passages_from: str
    out: Vec3
    threads: bool
    groove: bool

    @property
    def screwed(self) -> str:
        """How a fixture plate holds the piece by this end."""
        return f"fixture plate with dowels, screws {'into' if self.threads else 'through'} the {self.name} holes"


def _ends(design: Design, piece: Piece) -> tuple[_End, _End]:
    """Its end nearer to the head, then the other."""
    kinds = {joint.name: joint.kind for joint in design.joints}
    flanges = [flange for flange in design.flanges if flange.piece == piece.name]
    first, last = sorted(flanges, key=lambda flange: tuple(_ENDS).index(kinds[flange.joint]))[:2]
    return _end(first, kinds[first.joint], design), _end(last, kinds[last.joint], design)


def _end(flange: Flange, kind: str, design: Design) -> _End:
    name, passages_from = _ENDS[kind]
    return _End(
        name=name,
        passages_from=passages_from,
        out=vec3(-np.array(flange.frame.z)),
        threads=any(screw.joint == flange.joint and screw.tapped_in == flange.piece for screw in design.screws),
        groove=any(
            seal.joint == flange.joint and seal.piece == flange.piece and seal.kind == "cord" for seal in design.seals
        ),
    )


def _rough_at(end: _End) -> set[str]:
    """What is cut with an end's face up while the block is still whole."""
    return {f"{end.name} face roughed", f"{end.name} holes", f"passages from the {end.passages_from}"}


def _finished_at(end: _End) -> set[str]:
    return {f"{end.name} face finished", *({f"{end.name} groove"} if end.groove else ())}


def _made_at(end: _End) -> set[str]:
    return _rough_at(end) | _finished_at(end)


def _seats(design: Design, piece: Piece) -> set[str]:
    """Seats for screws' heads, where the piece has any."""
    ours = {joint.name for joint in design.joints if piece.name in joint.pieces}
    clamped = any(screw.joint in ours and screw.tapped_in != piece.name for screw in design.screws)
    return {"screw seats"} if clamped else set()


def _hold(shop: Shop, name: str, direction: Vec3, by: str, rests: tuple[set[str], set[str], set[str]]) -> Hold:
    needs, forbids, makes = rests
    return Hold(
        name=name,
        direction=direction,
        holds_by=by,
        needs=frozenset(needs),
        forbids=frozenset(forbids),
        makes=frozenset(makes),
        cost_min=_SETUP_MIN[shop.machine],
    )


def _outwards(flanges: dict[str, Flange], kind: str) -> Vec3:
    """Out of the metal through the flange of the first joint whose name starts so."""
    flange = next(item for name, item in flanges.items() if name.startswith(kind))
    return vec3(-np.array(flange.frame.z))


def _through_holds(shop: Shop, design: Design, piece: Piece) -> tuple[Hold, ...]:
    """Both ends up in the vice while the block is whole; then on the end that is cut first, and on the other."""
    first, last = _ends(design, piece)
    seats, vice = _seats(design, piece), "vice on the sawn block"
    on_first = _rough_at(last) | {"skins"} | _finished_at(last)
    if shop.machine == "tilting table":
        on_first |= seats
    return (
        _hold(shop, f"block in vice, {first.name} face up", first.out, vice, (set(), {"skins"}, _rough_at(first))),
        _hold(shop, f"block in vice, {last.name} face up", last.out, vice, (set(), {"skins"}, _rough_at(last))),
        _hold(
            shop,
            f"on the {first.name} face",
            last.out,
            first.screwed,
            ({f"{first.name} face roughed", f"{first.name} holes"}, set(), on_first),
        ),
        _hold(
            shop,
            f"on the {last.name} face",
            first.out,
            last.screwed,
            ({f"{last.name} face finished", f"{last.name} holes"}, set(), _made_at(first) | seats | {"skins"}),
        ),
    )


def _plenum_holds(shop: Shop, flanges: dict[str, Flange]) -> tuple[Hold, ...]:
    floor = _outwards(flanges, "runner")
    cover = vec3(-np.array(floor))
    side = {"throttle pad"} if shop.machine != "3-axis" else set[str]()
    below = {"floor face roughed", "rim holes", "groove"}
    inside = {"inside", "outside", "lips", "cover face finished", "column holes"}
    return (
        _hold(shop, "block in vice, floor up", floor, "vice on the sawn block", (set(), {"outside"}, below)),
        _hold(
            shop,
            "on the floor face",
            cover,
            "fixture plate, screws through the rim holes",
            ({"floor face roughed", "rim holes"}, set(), inside | side),
        ),
        _hold(
            shop,
            "on the cover face",
            floor,
            "fixture plate, screws into the column holes",
            ({"cover face finished", "column holes"}, set(), {"floor face finished", "groove"}),
        ),
        _hold(
            shop,
            "on end, throttle pad up",
            (1.0, 0.0, 0.0),
            "angle plate on the cover face, screws into the column holes",
            ({"cover face finished", "column holes"}, set(), {"throttle pad"}),
        ),
    )


def _cover_holds(shop: Shop, flanges: dict[str, Flange]) -> tuple[Hold, ...]:
    seal = _outwards(flanges, "cover")
    return (
        _hold(
            shop,
            "plate in vice, seal face up",
            seal,
            "vice on the sawn plate",
            (set(), {"outline"}, {"seal face", "groove", "screw holes"}),
        ),
        _hold(
            shop,
            "on the seal face",
            vec3(-np.array(seal)),
            "fixture plate, screws through the screw holes",
            ({"seal face", "screw holes"}, set(), {"outline", "outer face"}),
        ),
    )


def _neck_holds(shop: Shop, flanges: dict[str, Flange]) -> tuple[Hold, ...]:
    neck = _outwards(flanges, "neck")
    return (
        _hold(
            shop,
            "block in vice, neck flange up",
            neck,
            "vice on the sawn block",
            (set(), {"outside"}, {"neck flange face", "groove", "bore", "holes"}),
        ),
        _hold(
            shop,
            "on the neck flange",
            vec3(-np.array(neck)),
            "fixture plate, screws through the neck holes",
            ({"neck flange face", "holes"}, set(), {"body flange face", "outside", "bore", "holes"}),
        ),
    )
