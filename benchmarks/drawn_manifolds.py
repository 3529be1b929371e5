"""Invented old manifolds made of solids, otherwise than the other invented scans: nothing was measured on a real part.

Ports of two sizes, in pairs or staggered; slots and dowels among the screw holes; oil-ways; thin flanges, or one for each
port; round or square plena; throttle faces at either end, on top or in front with two to four screws, leaning or not.
"""

from dataclasses import dataclass, replace

import manifold3d
import numpy as np
import numpy.typing as npt

from tractwright.geometry.outlines import Outline, outline_points

Floats = npt.NDArray[np.float64]
Solid, Section = manifold3d.Manifold, manifold3d.CrossSection
WALL_MM, PLATE_MM = 4.5, 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPort:
    """A port: middle [mm] and outline."""

    at_mm: tuple[float, float]
    outline: Outline


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnThrottle:
    """A throttle's face: where it stands, bore, number and diameter of its holes, their ring's radius, lean."""

    side: str
    bore_mm: float
    holes: int
    hole_mm: float
    ring_mm: float
    lean_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPart:
    """Lengths in mm, head frame: x along the row, y up, z into the part; drift : of the passages, mm per mm of depth."""

    ports: tuple[DrawnPort, ...]
    screws: tuple[tuple[float, float], ...]
    screw_mm: float
    drift: tuple[float, float]
    dowels: tuple[tuple[float, float, float], ...]
    ways: tuple[DrawnPort, ...]
    flange_mm: float
    one_flange: bool
    slots: bool
    reach_mm: float
    round_plenum: bool
    throttle: DrawnThrottle

    def row(self) -> tuple[float, float, float]:
        """Least and greatest x of the ports, and the largest size of one."""
        x = [port.at_mm[0] for port in self.ports]
        size = max(max(port.outline.width_mm, port.outline.height_mm) for port in self.ports)
        return min(x), max(x), size

    def plenum_middle(self) -> Floats:
        """The plenum's middle (3,)."""
        low, high, _ = self.row()
        y = float(np.mean([port.at_mm[1] for port in self.ports])) + self.drift[1] * self.reach_mm + 12.0
        return np.array([(low + high) / 2.0 + self.drift[0] * self.reach_mm, y, self.reach_mm + 24.0])

    def plenum_half(self) -> Floats:
        """Half its size (3,)."""
        low, high, size = self.row()
        return np.array([(high - low) / 2.0 + size / 2.0 + 14.0, size / 2.0 + 17.0, 36.0])

    def throttle_place(self) -> tuple[Floats, Floats]:
        """Middle of the throttle's face (3,) and its normal (3,)."""
        middle, half, face = self.plenum_middle(), self.plenum_half(), self.throttle
        c, s = np.cos(np.radians(face.lean_deg)), np.sin(np.radians(face.lean_deg))
        if face.side == "top":
            return middle + np.array([20.0, max(half[1], 46.0) + 30.0, 0.0]), np.array([s, c, 0.0])
        if face.side == "front":
            return middle + np.array([0.0, 5.0, 76.0]), np.array([0.0, s, c])
        way = 1.0 if face.side == "right" else -1.0
        return middle + np.array([way * (half[0] + 30.0), 0.0, 0.0]), np.array([way * c, 0.0, -s])


def solid_of(part: DrawnPart) -> Solid:
    """The part as a solid."""
    hollow = _plenum(part, -WALL_MM)
    body = _flange(part).extrude(part.flange_mm) + _plenum(part, 0.0)
    for port in part.ports:
        body += _prism(port, 0.0, part.reach_mm, part.drift, WALL_MM)
        hollow += _prism(port, -1.0, part.reach_mm + 3.0, part.drift)
    for screw in part.screws:
        body += _rod(screw, part.screw_mm + 13.0, 0.0, part.flange_mm + 3.0)
    neck, bored = _throttle(part)
    return body + neck - hollow - bored - _drilled(part)


def _section(outline: Outline, grow: float = 0.0) -> Section:
    points = outline_points(outline, 96, offset_mm=grow) if grow else outline_points(outline, 96)
    return Section([points])


def _prism(
    port: DrawnPort, low: float, high: float, drift: tuple[float, float] = (0.0, 0.0), grow: float = 0.0
) -> Solid:
    solid = _section(port.outline, grow).extrude(high - low).translate((0.0, 0.0, low))
    (x, y), (along, up) = port.at_mm, drift
    return solid.transform(np.array([[1.0, 0.0, along, x], [0.0, 1.0, up, y], [0.0, 0.0, 1.0, 0.0]]))


def _rod(at: tuple[float, float], diameter: float, low: float, high: float) -> Solid:
    return Solid.cylinder(high - low, diameter / 2.0, diameter / 2.0, 72).translate((*at, low))


def _flange(part: DrawnPart) -> Section:
    lands = [_section(port.outline, 9.0).translate(port.at_mm) for port in part.ports]
    lugs = [Section.circle(part.screw_mm / 2.0 + 6.5, 72).translate(at) for at in part.screws]
    if part.one_flange:
        flange = Section.batch_hull([*lands, *lugs])
    else:
        middles = np.array([port.at_mm for port in part.ports])
        owner = [int(np.argmin(np.hypot(*(middles - at).T))) for at in part.screws]
        flange = Section()
        for i, land in enumerate(lands):
            flange += Section.batch_hull([land, *(lug for lug, own in zip(lugs, owner, strict=True) if own == i)])
    for x, y, diameter in part.dowels:
        flange += Section.circle(diameter / 2.0 + 5.0, 72).translate((x, y))
    for way in part.ways:
        flange += _section(way.outline, 6.0).translate(way.at_mm)
    return flange


def _plenum(part: DrawnPart, grow: float) -> Solid:
    middle, half = part.plenum_middle(), part.plenum_half() + grow
    if part.round_plenum:
        radius = 46.0 + grow
        return Solid.cylinder(2.0 * half[0], radius, radius, 96, True).rotate((0.0, 90.0, 0.0)).translate(tuple(middle))
    return Solid.cube(tuple(2.0 * half), True).translate(tuple(middle))


def ring(part: DrawnPart) -> Floats:
    """The throttle's holes (n, 2) about its bore."""
    angle = np.arange(part.throttle.holes) * 2.0 * np.pi / part.throttle.holes + np.pi / 4.0
    return part.throttle.ring_mm * np.stack([np.cos(angle), np.sin(angle)], axis=1)


def _throttle(part: DrawnPart) -> tuple[Solid, Solid]:
    """The neck with its plate, and what is bored out of it."""
    face, (origin, z) = part.throttle, part.throttle_place()
    x = np.cross([0.0, 1.0, 0.0], z)
    x = x / np.linalg.norm(x) if np.linalg.norm(x) > 0.1 else np.array([1.0, 0.0, 0.0])
    there = np.column_stack([x, np.cross(z, x), z, origin])
    places = [(float(a), float(b)) for a, b in ring(part)]
    lugs = [Section.circle(face.hole_mm / 2.0 + 5.0, 72).translate(at) for at in places]
    plate = Section.batch_hull([Section.circle(face.bore_mm / 2.0 + 6.0, 96), *lugs])
    neck = plate.extrude(PLATE_MM).translate((0.0, 0.0, -PLATE_MM))
    neck += _rod((0.0, 0.0), face.bore_mm + 10.0, -50.0, 0.0)
    bored = _rod((0.0, 0.0), face.bore_mm, -60.0, 1.0)
    for at in places:
        bored += _rod(at, face.hole_mm, -22.0, 1.0)
    return neck.transform(there), bored.transform(there)


def _drilled(part: DrawnPart) -> Solid:
    """Screw holes, every third a slot where there are slots; dowel holes; oil-ways."""
    cut, deep = Solid(), part.flange_mm + 40.0
    slot = Outline(kind="oval", width_mm=part.screw_mm + 4.0, height_mm=part.screw_mm)
    for i, at in enumerate(part.screws):
        is_slot = part.slots and i % 3 == 1
        cut += _prism(DrawnPort(at_mm=at, outline=slot), -1.0, deep) if is_slot else _rod(at, part.screw_mm, -1.0, deep)
    for x, y, diameter in part.dowels:
        cut += _rod((x, y), diameter, -1.0, 9.0)
    for way in part.ways:
        cut += _prism(way, -1.0, part.flange_mm + 20.0)
    return cut


def a_drawn_part(draw: np.random.Generator) -> DrawnPart:
    """Two to eight ports of any outline, all else at random."""
    count, kind = int(draw.integers(2, 9)), str(draw.choice(["circle", "oval", "rounded_rectangle", "d"]))
    outline = _an_outline(draw, kind)
    wide, high = outline.width_mm, outline.height_mm
    x = (wide + draw.uniform(30.0, 50.0)) * (np.arange(count) - (count - 1) / 2.0)
    odd = np.arange(count) % 2
    style = str(draw.choice(["row", "pairs", "staggered", "two sizes"]))
    x = x + np.where(odd, -6.0, 6.0) if style == "pairs" and count % 2 == 0 else x
    y = np.where(odd, -3.0, 3.0) if style == "staggered" else np.zeros(count)
    share = np.where(odd, draw.uniform(0.72, 0.95), 1.0) if style == "two sizes" else np.ones(count)
    ports = tuple(
        DrawnPort(at_mm=(float(a), float(b)), outline=_scaled(outline, float(s)))
        for a, b, s in zip(x, y, share, strict=True)
    )
    screw = float(draw.choice([6.6, 8.4, 9.0, 10.5, 11.0]))
    end = wide / 2.0 + screw
    side = draw.uniform(22.0, 30.0) + end
    way = Outline(kind="oval", width_mm=26.0, height_mm=14.0)
    has_dowels, has_ways = draw.random(2) < 0.4
    return DrawnPart(
        ports=ports,
        screws=_screws(draw, x, end + 7.0, high / 2.0 + screw / 2.0 + draw.uniform(6.0, 12.0)),
        screw_mm=screw,
        drift=(float(draw.choice([0.0, draw.uniform(-0.15, 0.15)])), float(draw.uniform(-0.1, 0.3))),
        dowels=((float(x[0]) - side, 0.0, 5.0), (float(x[-1]) + side, 0.0, 12.5)) if has_dowels else (),
        ways=(DrawnPort(at_mm=(float(x[-1]) + side + 30.0, -4.0), outline=way),) if has_ways else (),
        flange_mm=float(draw.choice([6.0, 8.0, 12.0, 18.0])),
        one_flange=bool(draw.random() < 0.6),
        slots=bool(draw.random() < 0.25),
        reach_mm=float(draw.uniform(60.0, 140.0)),
        round_plenum=bool(draw.random() < 0.5),
        throttle=_a_throttle(draw),
    )


def _an_outline(draw: np.random.Generator, kind: str) -> Outline:
    wide, high = draw.uniform(28.0, 50.0), draw.uniform(26.0, 42.0)
    least = min(wide, high)
    if kind == "circle":
        return Outline(kind="circle", width_mm=wide, height_mm=wide)
    if kind == "oval":
        return Outline(kind="oval", width_mm=high * draw.uniform(1.25, 1.6), height_mm=high)
    if kind == "rounded_rectangle":
        corner = least * draw.uniform(0.15, 0.38)
        return Outline(kind="rounded_rectangle", width_mm=wide, height_mm=high, corner_radius_mm=corner)
    upper, lower = least * draw.uniform(0.38, 0.48), least * draw.uniform(0.1, 0.2)
    return Outline(kind="d", width_mm=wide, height_mm=high, corner_radius_mm=upper, lower_corner_radius_mm=lower)


def _scaled(outline: Outline, share: float) -> Outline:
    sizes = ("width_mm", "height_mm", "corner_radius_mm", "lower_corner_radius_mm")
    return replace(outline, **{name: share * getattr(outline, name) for name in sizes})


def _screws(draw: np.random.Generator, x: Floats, end: float, off: float) -> tuple[tuple[float, float], ...]:
    """Two rows, corners of each port, one row above and one below each port, or to and fro."""
    columns = [x[0] - end, *((x[:-1] + x[1:]) / 2.0), x[-1] + end]
    layout = str(draw.choice(["two rows", "corners", "above and below", "to and fro"]))
    if layout == "two rows":
        places = [(c, s * 0.6 * off) for c in columns for s in (1.0, -1.0)]
    elif layout == "corners":
        places = [(a + s * (end - 4.0), s * (off - 6.0)) for a in x for s in (1.0, -1.0)]
    elif layout == "above and below":
        places = [*((c, 0.7 * off) for c in columns), *((a, -off) for a in x)]
    else:
        places = [*((c, 0.6 * off * (1 if i % 2 else -1)) for i, c in enumerate(columns)), (x[0], off), (x[-1], -off)]
    return tuple((float(a), float(b)) for a, b in places)


def _a_throttle(draw: np.random.Generator) -> DrawnThrottle:
    bore, hole = draw.uniform(45.0, 68.0), float(draw.choice([5.0, 6.6, 8.4]))
    return DrawnThrottle(
        side=str(draw.choice(["left", "right", "top", "front"])),
        bore_mm=bore,
        holes=int(draw.integers(2, 5)),
        hole_mm=hole,
        ring_mm=bore / 2.0 + hole / 2.0 + draw.uniform(5.0, 9.0),
        lean_deg=float(draw.choice([0.0, draw.uniform(5.0, 25.0)])),
    )
