"""The scan stage against the numbers an invented part was made from: D ports, any pose, noise, a warp, gaps, strays.

Source: the part's own description (examples/invented_scan.py), an implicit surface that the stage knows nothing of.
Bars: face 0.02 deg and the warp's own tilt; centres 0.06 mm and the warp; holes 0.08 mm; port sizes 0.12 mm. They are for
1 to 2 million triangles and noise of 0.15 mm (benchmarks/scan.py); here it is a third of the triangles and 0.1 mm.
"""

import numpy as np
import pytest

import invented_scan as invented
from tractwright.geometry.meshes import welded
from tractwright.job.sheet import Scan
from tractwright.scan.clean import cleaned
from tractwright.scan.faces import find_faces
from tractwright.scan.measure import measured_pattern
from tractwright.scan.place import job_frame

WARP_MM = 0.1
PART = invented.OldPart(
    ports=3,
    pitch_mm=86.0,
    port_mm=(44.0, 34.0, 16.0, 7.0),
    drift=(0.03, 0.1),
    screw_mm=6.6,
    screw_rise_mm=37.0,
    throttle_bore_mm=58.0,
    throttle_side=-1,
)


@pytest.fixture(scope="module")
def worked():
    """Found pattern and frame, with the truth."""
    scanner = invented.Scanner(step_mm=1.25, noise_mm=0.1, warp_mm=WARP_MM)
    scan = invented.invented_scan(PART, scanner, seed=11)
    mesh = cleaned(welded(scan.triangles), "scan.stl").mesh
    head, seat = find_faces(mesh, 3)
    frame = job_frame(mesh, head, Scan(file="scan.stl")).frame
    axes = frame.matrix() @ scan.turn.T
    origin = scan.turn @ (np.array(frame.origin_mm) - scan.origin)
    return measured_pattern(head, seat, frame, 3), axes, origin


def in_truth(places, worked) -> np.ndarray:
    _, axes, origin = worked
    return np.array(places) @ axes[:2, :2] + origin[:2]


def test_the_head_face_is_square(worked):
    _, axes, _ = worked
    tilt = np.degrees(np.arccos(min(1.0, axes[2, 2])))
    assert tilt < 0.02 + np.degrees(np.arctan(WARP_MM / (3 * 86.0)))


def test_ports_lie_where_they_are_and_are_what_they_are(worked):
    ports = worked[0].ports
    away = in_truth([port.at_mm for port in ports], worked) - np.stack([PART.port_x(), np.zeros(3)], axis=1)
    assert np.linalg.norm(away, axis=1).max() < 0.06 + WARP_MM
    outline = ports[0].outline
    assert outline.kind == "d"
    assert (outline.width_mm, outline.height_mm) == pytest.approx((44.0, 34.0), abs=0.12)
    assert (outline.corner_radius_mm, outline.lower_corner_radius_mm) == pytest.approx((16.0, 7.0), abs=0.6)
    assert ports[0].turn_deg == pytest.approx(0.0, abs=0.3)


def test_passages_lean_as_they_do(worked):
    for port in worked[0].ports:
        lean = np.array(port.axis[:2]) / port.axis[2]
        np.testing.assert_allclose(lean, PART.drift, atol=0.02)


def test_holes_lie_where_they_are(worked):
    holes = in_truth([hole.at_mm for hole in worked[0].holes], worked)
    away = np.linalg.norm(PART.screws()[:, None] - holes[None], axis=2).min(axis=1)
    assert len(holes) == len(PART.screws())
    assert away.max() < 0.06 + WARP_MM
    found = [f.value for f in worked[0].measurements if f.what.startswith("hole") and "diameter" in f.what]
    np.testing.assert_allclose(found, PART.screw_mm, atol=0.08)
    assert {hole.thread for hole in worked[0].holes} == {"M6"}


def test_the_throttle_face_is_found(worked):
    throttle = worked[0].throttle
    assert throttle is not None
    assert throttle.bore_mm == pytest.approx(58.0, abs=0.12)
    assert throttle.frame.z[0] == pytest.approx(-1.0, abs=1e-4)
    assert len(throttle.holes_mm) == 4
