"""Nothing is held by what cannot be used yet: screws go through holes only once the metal over their seats is gone."""

import numpy as np

from tractwright.design.records import Design
from tractwright.geometry.frames import vec3
from tractwright.job.shop_tables import Shop
from tractwright.make.feature import Feature, faces_of
from tractwright.make.features import features_of
from tractwright.make.holds import holds_for
from tractwright.make.outside import outside_at_once, outside_in_parts
from tractwright.make.over import after_what_lies_over, over_features
from tractwright.make.owners import OUTSIDE
from tractwright.make.records import Stock
from tractwright.make.samples import Samples
from tractwright.make.setups import Hold, least_sequence
from tractwright.make.solid_reach import SolidReach
from tractwright.make.work import Work

UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)


def work_on(design: Design, kind: str) -> Work:
    piece = next(item for item in design.pieces if item.kind == kind)
    box = np.array([(x, y, z) for x in (-90.0, 90.0) for y in (-50.0, 50.0) for z in (0.0, 60.0)])
    stock = Stock(piece=piece.name, size_mm=(186, 106, 66), axes=((1, 0, 0), (0, 1, 0), UP), plate_mm=66, mass_kg=3,
                  buy_to_fly=2)  # fmt: skip
    return Work(
        piece=piece,
        stock=stock,
        faces=faces_of(design, piece),
        flanges=(),
        features=features_of(design, piece),
        points_mm=box,
    )


def test_screws_through_holes_ask_for_their_seats(design: Design):
    holds = holds_for(Shop(), work_on(design, "head"))
    through = [hold for hold in holds if "through its screw holes" in hold.holds_by]
    assert through
    assert all(f"{hold.face} screw seats" in hold.needs for hold in through)
    below = [hold for hold in holds if "fixture threads" in hold.holds_by]
    assert below
    assert not any("seats" in name for hold in below for name in hold.needs)


def test_holes_that_take_pins_take_no_screws(design: Design):
    """Eight holes: two to locate by, six for screws."""
    work = work_on(design, "head")
    face = next(face for face in work.faces if face.passing)
    hold = next(h for h in holds_for(Shop(), work) if h.face == face.name and "through its" in h.holds_by)
    assert hold.screws + hold.free_holes == len(face.passing)
    assert hold.free_holes == 2


def test_a_shop_without_a_plate_screws_nothing_down(design: Design):
    holds = holds_for(Shop(fixture_plate=False), work_on(design, "head"))
    assert holds
    assert all(hold.screws == 0 for hold in holds)


def test_soft_jaws_do_not_stand_a_plate_on_its_edge(design: Design):
    """A box of 180 x 100 x 60 mm: on its long side it stands 180 over 60, on the next 100 over 60, of 1.75 times."""
    work = work_on(design, "cover")
    holds = [hold for hold in holds_for(Shop(fixture_plate=False), work) if hold.holds_by.startswith("soft jaws")]
    assert holds
    assert all(abs(hold.direction[0]) < 0.9 for hold in holds)


def test_a_table_that_tilts_less_than_level_has_every_hold_of_a_three_axis_mill(design: Design):
    """Tilts of 30 deg show no side of the work: it is stood up as on a mill without them, and tilts show a little more."""
    work = work_on(design, "head")
    small = holds_for(Shop.model_validate({"machine": "tilting table", "tilt_low": -10, "tilt_high": 30}), work)
    plain = holds_for(Shop.model_validate({"machine": "3-axis"}), work)
    made = {hold.name: hold.makes for hold in small}
    assert all(hold.makes <= made[hold.name] for hold in plain)


def slab() -> tuple[Samples, np.ndarray]:
    """Two levels of a plate: a seat lies in the upper one, which looks up; below it looks down."""
    grid = np.array([(x, y) for x in range(-40, 41, 8) for y in range(-40, 41, 8)], dtype=float)
    top, bottom = (np.column_stack([grid, np.full(len(grid), level)]) for level in (10.0, 0.0))
    points = np.concatenate([top, bottom])
    normals = np.repeat([UP, DOWN], len(grid), axis=0)
    return Samples(points_mm=points, normals=normals, area_mm2=64.0), np.full(len(points), OUTSIDE, dtype="<U80")


def seat() -> Feature:
    return Feature(
        name="base seats", work="seats", directions=(UP,), at_mm=(0, 0, 10), diameter_mm=16.0, starts_mm=((0, 0, 10),)
    )


def test_what_lies_over_a_seat_is_the_surface_it_is_sunk_into():
    """Within the seat's radius and 8 mm of its axis, on its own level: a circle of 16 mm takes 13 points of an 8 mm grid."""
    samples, owners = slab()
    over, _ = over_features((seat(),), samples, owners)
    mask = over["base seats"]
    assert mask.sum() == sum(np.hypot(x, y) < 16.0 for x in range(-40, 41, 8) for y in range(-40, 41, 8))
    assert np.all(samples.normals[mask] == UP)


def reach_from(samples: Samples, *ways: tuple[float, float, float]) -> SolidReach:
    """Every cutter reaches what looks the way it comes from."""
    seen = np.array([[np.where(samples.normals @ np.array(way) > 0.5, 20.0, np.inf)] for way in ways])
    cutters = (Shop.model_validate({"cutter": [CUTTER]}).cutter[0],)
    return SolidReach(
        samples=samples, directions=np.array(ways), cutters=cutters, stickout_mm=seen,
        fits=np.ones((1, len(samples.points_mm)), dtype=bool),
    )  # fmt: skip


BLOCK = tuple((x, y, z) for x in (-40.0, 40.0) for y in (-40.0, 40.0) for z in (0.0, 10.0))
CUTTER = {"name": "ball 10", "kind": "ball", "diameter": 10, "neck": 9, "stickout": 80}


def held(name: str, up: tuple[float, float, float], needs: set[str], makes: set[str], level: float) -> Hold:
    return Hold(
        name=name, direction=up, floor=up, holds_by=name, needs=frozenset(needs), forbids=frozenset(), makes=frozenset(makes),
        cost_min=20.0, level_mm=level, mill="3-axis", machine="3-axis", corners_mm=BLOCK,
    )  # fmt: skip


def test_a_planted_job_whose_only_hold_is_by_screws_under_solid_metal_is_refused():
    """The plate is drilled from below. Its screws would go down through holes over which the block still stands, and only that
    hold would take the block away: no sequence, and the reason names what does not exist.
    """
    samples, owners = slab()
    drill = Feature(name="base holes", work="holes", directions=(DOWN,), at_mm=(0, 0, 0))
    over, plain = over_features((drill, seat()), samples, owners)
    vice = held("vice, lower side up", DOWN, set(), {"base holes"}, -20.0)
    plate = held("plate, through the holes", UP, {"base holes", "base seats"}, {"base seats"}, -20.0)
    shop = Shop.model_validate({"machine": "3-axis", "cutter": [CUTTER]})
    found = outside_in_parts(shop, reach_from(samples, UP, DOWN), owners == OUTSIDE, (vice, plate), over)
    features = (*after_what_lies_over(plain, found.over), *found.features)
    sequence = least_sequence(found.holds, features)
    assert {"base seats", "outside over the base seats"} <= sequence.missing
    assert any("does not exist by then" in reason and "base seats" in reason for reason in sequence.reasons)

    other = held("vice, upper side up", UP, set(), {"base seats"}, -20.0)
    found = outside_in_parts(shop, reach_from(samples, UP, DOWN), owners == OUTSIDE, (vice, plate, other), over)
    features = (*after_what_lies_over(plain, found.over), *found.features)
    assert not least_sequence(found.holds, features).missing


def test_soft_jaws_ask_only_for_what_they_grip():
    """Jaws round the lower level need it cut, not the upper one, which they leave free to be cut."""
    samples, owners = slab()
    shop = Shop.model_validate({"machine": "3-axis", "cutter": [CUTTER]})
    under = held("vice, lower side up", DOWN, set(), set(), -20.0)
    jaws = held("soft jaws", UP, {"outside"}, set(), 5.0)
    found = outside_in_parts(shop, reach_from(samples, UP, DOWN), owners == OUTSIDE, (under, jaws))
    lower, upper = "outside, head side", "outside, outer side"
    assert {feature.name for feature in found.features} == {lower, upper}
    assert found.holds[1].needs == {lower}
    assert found.holds[1].makes == {upper}


def test_the_outside_cut_in_one_set_up_is_one_line():
    parts = [
        Feature(name="holes", work="holes", directions=(UP,), at_mm=(0, 0, 0)),
        Feature(name="outside, far end", work="outside", directions=(), at_mm=(0, 0, 0), area_mm2=10, volume_mm3=100),
        Feature(
            name="outside over the seats", work="outside", directions=(), at_mm=(0, 0, 0), area_mm2=5, volume_mm3=50
        ),
    ]
    holes, whole = outside_at_once(parts)
    assert holes.name == "holes"
    assert whole.name == "outside: far end, over the seats"
    assert (whole.area_mm2, whole.volume_mm3) == (15, 150)
    assert vec3(whole.at_mm) == (0, 0, 0)
