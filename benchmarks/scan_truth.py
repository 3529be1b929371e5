"""What was found of an invented scan against the part it was made from: worst differences, and how far trust is earned."""

import numpy as np
from shapely import Polygon

from invented_scan import InventedScan, OldPart, Scanner, warp_of
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import Outline, outline_points
from tractwright.scan.measure import Measured

SURE = 0.5
ERRORS = (
    "face angle past the warp's [deg]",
    "port centres past the warp [mm]",
    "hole centres past the warp [mm]",
    "hole diameters [mm]",
    "port sizes [mm]",
    "throttle bore [mm]",
    "throttle centre past the warp [mm]",
)


def true_outline(part: OldPart) -> np.ndarray:
    """A port's outline (n, 2) about its own row point."""
    width, height, upper, lower = part.port_mm
    shape = Outline(kind="d", width_mm=width, height_mm=height, corner_radius_mm=upper, lower_corner_radius_mm=lower)
    points = outline_points(shape, 2000)
    return points + np.stack([part.bend * points[:, 1] ** 2, np.zeros(len(points))], axis=1)


def in_truth(scan: InventedScan, frame: Frame) -> tuple[np.ndarray, np.ndarray]:
    """The found axes and origin in the true head frame."""
    return frame.matrix() @ scan.turn.T, scan.turn @ (np.array(frame.origin_mm) - scan.origin)


def true_ports(part: OldPart) -> np.ndarray:
    """Middles (ports, 2): of a loop the middle of its area."""
    middle = Polygon(true_outline(part)).centroid if part.bend else None
    shift = np.array([middle.x, middle.y]) if middle is not None else np.zeros(2)
    return np.stack([part.port_x(), np.zeros(part.ports)], axis=1) + shift


def errors(scan: InventedScan, scanner: Scanner, found: Measured, frame: Frame) -> dict[str, float]:
    """The worst differences from the truth, in the true head frame; what the warp alone may do is taken off."""
    part, warp = scan.part, scanner.warp_mm
    axes, origin = in_truth(scan, frame)
    tilt = np.degrees(np.arccos(min(1.0, axes[2, 2])))
    allowed = np.degrees(np.arctan(warp / (part.pitch_mm * part.ports)))
    ports = np.array([port.at_mm for port in found.ports]) @ axes[:2, :2] + origin[:2]
    holes = np.array([hole.at_mm for hole in found.holes]) @ axes[:2, :2] + origin[:2]
    sizes = [(f.what, f.value) for f in found.measurements]
    extent = np.ptp(true_outline(part), axis=0)
    widths = [abs(value - extent[0]) for what, value in sizes if what.endswith(" width")]
    heights = [abs(value - extent[1]) for what, value in sizes if what.endswith(" height")]
    bores = [abs(value - part.screw_mm) for what, value in sizes if what.startswith("hole") and "diameter" in what]
    throttle = found.throttle
    y, z = part.plenum_at_mm
    at = np.array(throttle.frame.origin_mm) @ axes + origin if throttle else np.full(3, np.nan)
    there = warp_of(part, at[None], warp)[0] if throttle else np.zeros(3)
    bore = next((value for what, value in sizes if what == "throttle bore"), np.nan)
    values = (
        max(0.0, tilt - allowed),
        max(0.0, nearest(true_ports(part), ports) - warp),
        max(0.0, nearest(part.screws(), holes) - warp),
        max(bores),
        max(widths + heights),
        abs(bore - part.throttle_bore_mm),
        max(0.0, float(np.hypot(at[1] - y, at[2] - z)) - warp - float(np.linalg.norm(there))),
    )
    return dict(zip(ERRORS, map(float, values), strict=True))


def trusted(scan: InventedScan, scanner: Scanner, found: Measured, frame: Frame) -> dict[str, float]:
    """Openings called sure, wrong among them, and true ones not among them: ports, holes, the throttle's bore.

    Right is an opening within 0.3 mm (and the warp) of a true one of its kind.
    """
    part, near = scan.part, 0.3 + scanner.warp_mm
    axes, origin = in_truth(scan, frame)
    sure = {
        name: min(f.sure for f in found.measurements if f.what.startswith(name + " ")) > SURE
        for name in (*(f"port {p.name}" for p in found.ports), *(f"hole {h.name}" for h in found.holes))
        if any(f.what.startswith(name + " ") for f in found.measurements)
    }
    said = wrong = met = 0
    kinds = (("port", found.ports, true_ports(part)), ("hole", found.holes, part.screws()))
    for kind, items, true in kinds:
        places = [np.array(i.at_mm) @ axes[:2, :2] + origin[:2] for i in items if sure.get(f"{kind} {i.name}", False)]
        said += len(places)
        right = [i for i, at in enumerate(places) if np.linalg.norm(true - at, axis=1).min() < near]
        wrong += len(places) - len(right)
        met += len({int(np.linalg.norm(true - places[i], axis=1).argmin()) for i in right})
    throttle = found.throttle is not None
    bore = next((f.value for f in found.measurements if f.what == "throttle bore" and f.sure > SURE), None)
    said, wrong = said + throttle, wrong + int(bore is not None and abs(bore - part.throttle_bore_mm) > near)
    met += int(bore is not None)
    total = part.ports + len(part.screws()) + 1
    return {"sure": float(said), "wrong": float(wrong), "true": float(total), "met": float(met)}


def nearest(true: np.ndarray, found: np.ndarray) -> float:
    """The farthest that a found place lies from the nearest true one, and a true one from the nearest found one."""
    away = np.linalg.norm(true[:, None] - found[None], axis=2)
    return float(max(away.min(axis=1).max(), away.min(axis=0).max()))
