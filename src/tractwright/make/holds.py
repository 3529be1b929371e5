"""The ways a shop can hold each kind of piece, and the features of each kind (common practice, no source).

Features are plain words; a hold needs, forbids and makes them. Sealing faces are finished last, after the part has been
let go once, so that what the stock's stress moves is cut off.
"""

import numpy as np

from tractwright.design.records import Design, Flange, Piece
from tractwright.geometry.frames import Vec3, vec3
from tractwright.job.shop_tables import Shop
from tractwright.make.setups import Hold

_SETUP_MIN = {"3-axis": 25.0, "rotary axis": 35.0, "tilting table": 40.0}


def features_of(kind: str) -> frozenset[str]:
    """What has to be cut on a piece of that kind."""
    return frozenset(
        {
            "head": {
                "head face roughed", "head holes", "head face finished", "mouth face roughed", "mouth holes",
                "mouth face finished", "skins", "screw seats", "passages from the port", "passages from the mouth",
            },
            "plenum": {"floor face roughed", "rim holes", "floor face finished", "groove", "inside", "outside", "lips",
                       "cover face finished", "column holes", "throttle pad"},
            "cover": {"seal face", "groove", "outline", "screw holes", "outer face"},
            "neck": {"bore", "neck flange face", "groove", "body flange face", "outside", "holes"},
        }[kind]
    )  # fmt: skip


def holds_for(shop: Shop, design: Design, piece: Piece) -> tuple[Hold, ...]:
    """Every way to hold a piece on the shop's machine."""
    flanges = {flange.joint: flange for flange in design.flanges if flange.piece == piece.name}
    makers = {"head": _head_holds, "plenum": _plenum_holds, "cover": _cover_holds, "neck": _neck_holds}
    return makers[piece.kind](shop, flanges)


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


def _head_holds(shop: Shop, flanges: dict[str, Flange]) -> tuple[Hold, ...]:
    port, mouth = _outwards(flanges, "head"), _outwards(flanges, "runner")
    from_port = {"head face roughed", "head holes", "passages from the port"}
    from_mouth = {"mouth face roughed", "mouth holes", "passages from the mouth"}
    turned = {"skins", "screw seats"}
    plate = "fixture plate with dowels"
    both = shop.machine == "tilting table"
    on_head_plate = from_mouth | turned | {"mouth face finished"}
    return (
        _hold(shop, "block in vice, head face up", port, "vice on the sawn block", (set(), {"skins"}, from_port)),
        _hold(shop, "block in vice, mouth face up", mouth, "vice on the sawn block", (set(), {"skins"}, from_mouth)),
        _hold(
            shop,
            "on the head face",
            mouth,
            f"{plate}, screws through the head holes",
            ({"head face roughed", "head holes"}, set(), on_head_plate if both else on_head_plate - {"screw seats"}),
        ),
        _hold(
            shop,
            "on the mouth face",
            port,
            f"{plate}, screws into the mouth holes",
            ({"mouth face finished", "mouth holes"}, set(), from_port | {"head face finished", "screw seats", "skins"}),
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
