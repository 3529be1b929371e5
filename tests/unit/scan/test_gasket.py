"""Gaskets drawn (DXF) and pictured at 300 dpi, written here from known numbers by independent libraries."""

import ezdxf
import numpy as np
import pytest
from PIL import Image
from shapely import Point, Polygon, contains_xy

from tractwright.errors import ScanError, SheetError
from tractwright.geometry.outlines import Outline, outline_points
from tractwright.job.sheet import JobSheet
from tractwright.scan.stage import pattern_and_room

PORTS = [(-94.0, 0.0), (0.0, 0.0), (94.0, 0.0)]
HOLES = [(-140.0, 24.0), (-140.0, -24.0), (-47.0, 26.0), (47.0, 26.0), (47.0, -22.0), (140.0, 24.0)]
HOLE_MM = 9.0
OVAL = Outline(kind="oval", width_mm=50.0, height_mm=32.0)
ENGINE = {"cylinders": 3, "bore": 80.0, "stroke": 80.0}
DPI = 300.0


def sheet(**tables) -> JobSheet:
    return JobSheet.model_validate({"job": {"name": "gasket"}, "engine": ENGINE, **tables})


def drawing(path, outline: Outline, factor: float = 1.0, turn_deg: float = 0.0, unit: int = 4) -> None:
    """Ovals as lines and arcs, a rounded rectangle as a polyline with bulges; holes as circles in a block; an outline."""
    document = ezdxf.new()
    document.header["$INSUNITS"] = unit
    model, block = document.modelspace(), document.blocks.new("HOLE")
    block.add_circle((0, 0), HOLE_MM / 2 * factor)
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))

    def put(x: float, y: float) -> tuple[float, float]:
        return ((c * x - s * y) * factor + 400.0, (s * x + c * y) * factor - 77.0)

    for x, y in HOLES:
        model.add_blockref("HOLE", put(x, y))
    for x, y in PORTS:
        half, radius = (outline.width_mm - outline.height_mm) / 2, outline.height_mm / 2
        if outline.kind == "circle":
            model.add_circle(put(x, y), outline.width_mm / 2 * factor)
        elif outline.kind == "oval":
            model.add_line(put(x - half, y + radius), put(x + half, y + radius))
            model.add_line(put(x - half, y - radius), put(x + half, y - radius))
            model.add_arc(put(x + half, y), radius * factor, turn_deg - 90, turn_deg + 90)
            model.add_arc(put(x - half, y), radius * factor, turn_deg + 90, turn_deg + 270)
        else:
            w, h, r, q = outline.width_mm / 2, outline.height_mm / 2, outline.corner_radius_mm, np.tan(np.pi / 8)
            corners = [(w, h - r, q), (w - r, h, 0), (r - w, h, q), (-w, h - r, 0), (-w, r - h, q), (r - w, -h, 0)]
            corners += [(w - r, -h, q), (w, r - h, 0)]
            points = [(*put(x + a, y + b), bulge) for a, b, bulge in corners]
            model.add_lwpolyline(points, format="xyb", close=True)
    edge = [put(-155, -38), put(155, -38), put(155, 40), put(-155, 40)]
    model.add_lwpolyline(edge, close=True)
    model.add_line(put(-200, 0), put(200, 0))
    document.saveas(path)


def checked(pattern, outline: Outline, within: float, holes_within: float) -> None:
    assert [port.outline.kind for port in pattern.ports] == [outline.kind] * 3
    np.testing.assert_allclose([port.at_mm for port in pattern.ports], PORTS, atol=within)
    sizes = [(port.outline.width_mm, port.outline.height_mm) for port in pattern.ports]
    np.testing.assert_allclose(sizes, [(outline.width_mm, outline.height_mm)] * 3, atol=within)
    found = np.array(sorted(hole.at_mm for hole in pattern.head_holes))
    away = np.linalg.norm(found[:, None] - np.array(HOLES)[None], axis=2)
    assert len(found) == len(HOLES)
    assert away.min(axis=1).max() < holes_within
    bores = [figure.value for figure in pattern.measurements if figure.what.endswith("diameter")]
    np.testing.assert_allclose(bores, HOLE_MM, atol=holes_within)
    assert {hole.thread for hole in pattern.head_holes} == {"M8"}


OUTLINES = {
    "circle": Outline(kind="circle", width_mm=42.0, height_mm=42.0),
    "oval": OVAL,
    "rounded_rectangle": Outline(kind="rounded_rectangle", width_mm=48.0, height_mm=33.0, corner_radius_mm=9.0),
}


@pytest.mark.parametrize("kind", OUTLINES)
@pytest.mark.parametrize(("factor", "unit", "turn"), [(1.0, 4, 0.0), (1 / 25.4, 1, 33.0)])
def test_a_drawing_is_read_exactly(tmp_path, kind, factor, unit, turn):
    """Circles as drawn; other outlines, fitted to points along the drawn lines, to 0.006 mm; holes to 0.002 mm."""
    drawing(tmp_path / "gasket.dxf", OUTLINES[kind], factor, turn, unit)
    pattern, _ = pattern_and_room(sheet(gasket=[{"file": "gasket.dxf"}]), tmp_path)
    checked(pattern, OUTLINES[kind], 1e-6 if kind == "circle" else 6e-3, 2e-3)
    assert any("do not close" in note for note in pattern.notes)


def picture(path, light_on_dark: bool = False, noise: float = 0.01, bar: bool = True, turn_deg: float = 1.3) -> None:
    """A gasket cut of its outline with openings, eight samples a pixel each way, noise of 1 % of the range."""
    size = (int(350 / 25.4 * DPI), int(130 / 25.4 * DPI))
    solid = Polygon([(-158, -40), (158, -40), (158, 42), (-158, 42)])
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    turn = np.array([[c, s], [-s, c]])
    shapes = [Polygon((outline_points(OVAL, 400) + at) @ turn) for at in PORTS]
    shapes += [Point(*(np.array(at) @ turn)).buffer(HOLE_MM / 2, 64) for at in HOLES]
    body = Polygon(np.array(solid.exterior.coords) @ turn).difference(shapes[0].union(shapes[1]))
    for shape in shapes[2:]:
        body = body.difference(shape)
    if bar:
        body = body.union(Polygon([(-60, -58), (40, -58), (40, -52), (-60, -52)]))
    share = coverage(body, size)
    grey = 30.0 + 200.0 * (share if light_on_dark else 1.0 - share)
    grey += 255.0 * noise * np.random.default_rng(2).standard_normal(grey.shape)
    Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8)).save(path, dpi=(DPI, DPI), quality=92)


def coverage(body, size: tuple[int, int]) -> np.ndarray:
    """Share of each pixel that is gasket: four samples a side, by an independent library's point test."""
    found = np.zeros((size[1], size[0]))
    steps = (np.arange(4) + 0.5) / 4
    for dx in steps:
        for dy in steps:
            x = ((np.arange(size[0]) + dx) - size[0] / 2) * 25.4 / DPI
            y = (size[1] / 2 - (np.arange(size[1]) + dy)) * 25.4 / DPI
            grid = np.meshgrid(x, y)
            found += contains_xy(body, *grid)
    return found / 16


@pytest.fixture(scope="module")
def scanned_gasket(tmp_path_factory):
    folder = tmp_path_factory.mktemp("gasket")
    picture(folder / "gasket.png")
    return folder


@pytest.mark.parametrize("scale", [{"scale_bar": 100.0}, {"dots_per_inch": DPI}, {}])
def test_a_picture_is_read_to_0_15_mm(scanned_gasket, scale):
    pattern, _ = pattern_and_room(sheet(gasket=[{"file": "gasket.png", **scale}]), scanned_gasket)
    checked(pattern, OVAL, 0.15, 0.15)
    assert any("scale from" in note for note in pattern.notes)


def test_a_known_distance_scales_a_picture(scanned_gasket):
    """Two ends 1000 pixels apart that are said to be 84.667 mm: 300 dots per inch."""
    known = {"known": 1000 * 25.4 / DPI, "known_from": [500, 300], "known_to": [1500, 300]}
    pattern, _ = pattern_and_room(sheet(gasket=[{"file": "gasket.png", **known}]), scanned_gasket)
    checked(pattern, OVAL, 0.15, 0.15)


def test_a_light_gasket_on_a_dark_ground_as_jpeg(tmp_path):
    picture(tmp_path / "gasket.jpg", light_on_dark=True)
    pattern, _ = pattern_and_room(sheet(gasket=[{"file": "gasket.jpg", "scale_bar": 100.0}]), tmp_path)
    checked(pattern, OVAL, 0.15, 0.15)


def test_a_gasket_seen_from_its_back_is_turned_over(tmp_path):
    """Laid on its face, port 1 lies at the right; the holes come back where they are."""
    drawing(tmp_path / "gasket.dxf", OVAL)
    there = {"file": "gasket.dxf", "seen_from": "back", "port_1": "right"}
    pattern, _ = pattern_and_room(sheet(gasket=[there]), tmp_path)
    found = sorted(np.round(hole.at_mm, 5).tolist() for hole in pattern.head_holes)
    np.testing.assert_allclose(found, sorted([-x, y] for x, y in HOLES), atol=1e-5)


def test_sources_that_differ_are_both_kept(tmp_path):
    """The sheet's pitch is 95 mm, the gasket's 94: over 0.5 mm at the end ports, both numbers stand side by side."""
    drawing(tmp_path / "gasket.dxf", OVAL)
    facts = {"port_width": 50.0, "port_height": 32.0, "pitch": 95.0, "screw_rise": 25.0}
    pattern, _ = pattern_and_room(sheet(pattern=facts, gasket=[{"file": "gasket.dxf"}]), tmp_path)
    differ = {f.what: (f.value, f.other_source, f.other) for f in pattern.measurements if f.other_source is not None}
    assert differ["port p1 x"] == pytest.approx((-94.0, -95.0, "sheet"), abs=1e-3)
    assert "port p2 x" not in differ


def test_a_gasket_laid_the_wrong_way_round_is_noticed(tmp_path):
    drawing(tmp_path / "gasket.dxf", OVAL)
    facts = {"port_width": 50.0, "pitch": 94.0, "screw": [{"at": at} for at in HOLES]}
    wrong = {"file": "gasket.dxf", "seen_from": "back", "port_1": "right"}
    pattern, _ = pattern_and_room(sheet(pattern=facts, gasket=[wrong]), tmp_path)
    assert any("only turned over" in note for note in pattern.notes)


def test_a_hole_that_only_the_gasket_has_is_taken_and_said(tmp_path):
    drawing(tmp_path / "gasket.dxf", OVAL)
    facts = {"port_width": 50.0, "pitch": 94.0, "screw": [{"at": at} for at in HOLES[:-1]]}
    pattern, _ = pattern_and_room(sheet(pattern=facts, gasket=[{"file": "gasket.dxf"}]), tmp_path)
    (place,) = pattern.probable
    assert place.at_mm == pytest.approx(HOLES[-1], abs=1e-6)
    assert place.taken
    assert len(pattern.head_holes) == len(HOLES)


def test_readings_put_a_rough_pattern_right(tmp_path):
    """Rough places off by up to 1 mm, exact readings of the true ones: sizes, all pairs of holes, ports by their edges."""
    chance = np.random.default_rng(4)
    rough = [(x + chance.uniform(-1, 1), y + chance.uniform(-1, 1)) for x, y in HOLES]
    facts = {"port_width": 42.0, "port_shape": "circle", "pitch": 94.0, "screw": [{"at": at} for at in rough]}
    order = sorted(range(len(HOLES)), key=lambda i: (round(rough[i][0], 1), -rough[i][1]))
    true = {f"s{n + 1}": HOLES[i] for n, i in enumerate(order)} | {f"p{k + 1}": at for k, at in enumerate(PORTS)}
    size = {name: 42.0 if name.startswith("p") else HOLE_MM for name in true}
    readings = [{"of": [name], "over": "diameter", "reads": size[name]} for name in true]
    names = list(true)
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            edges = float(np.hypot(*np.subtract(true[a], true[b]))) + (size[a] + size[b]) / 2
            readings.append({"of": [a, b], "over": "outside", "reads": edges})
    pattern, _ = pattern_and_room(sheet(pattern={**facts, "places_rough": True}, reading=readings), tmp_path)
    found = {item.name: item.at_mm for item in (*pattern.ports, *pattern.head_holes)}
    for a in names:
        for b in names:
            apart = np.hypot(*np.subtract(found[a], found[b]))
            assert apart == pytest.approx(np.hypot(*np.subtract(true[a], true[b])), abs=1e-3)
    assert not [figure for figure in pattern.measurements if figure.other_source is not None]
    asked, _ = pattern_and_room(sheet(pattern=facts, reading=readings), tmp_path)
    assert [figure for figure in asked.measurements if figure.other_source is not None]


def test_a_reading_of_what_is_not_there_is_a_fault(tmp_path):
    facts = {"port_width": 50.0, "pitch": 94.0, "screw_rise": 30.0}
    reading = [
        {"of": ["s1", "s99"], "over": "centres", "reads": 94.0},
        {"of": ["p1", "p2"], "over": "outside", "reads": 144},
    ]
    with pytest.raises(SheetError) as raised:
        pattern_and_room(sheet(pattern=facts, reading=reading), tmp_path)
    assert len(raised.value.faults) == 2


BAD = {
    "empty.dxf": b"",
    "letter.dxf": b"Dear reader, this is no drawing.\n" * 20,
    "nothing.dxf": b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n",
    "letter.png": b"Dear reader, this is no picture.\n" * 20,
    "cut.png": b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\x10\0\0\0\x10\0\x08\0\0\0\0",
    "away.png": None,
    "cut.jpg": b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x01",
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_gasket_gives_one_clear_line(tmp_path, name):
    if BAD[name] is not None:
        (tmp_path / name).write_bytes(BAD[name])
    with pytest.raises(ScanError, match=name) as raised:
        pattern_and_room(sheet(gasket=[{"file": name}]), tmp_path)
    assert "\n" not in str(raised.value)


def test_a_grey_picture_and_one_without_a_scale_are_said(tmp_path):
    Image.fromarray(np.full((300, 300), 128, dtype=np.uint8)).save(tmp_path / "grey.png")
    with pytest.raises(ScanError, match="contrast"):
        pattern_and_room(sheet(gasket=[{"file": "grey.png"}]), tmp_path)
    disc = np.hypot(*np.meshgrid(np.arange(300) - 150, np.arange(300) - 150)) < 90
    Image.fromarray(np.where(disc, 10, 240).astype(np.uint8)).save(tmp_path / "disc.png")
    with pytest.raises(ScanError, match="no scale"):
        pattern_and_room(sheet(gasket=[{"file": "disc.png"}]), tmp_path)
