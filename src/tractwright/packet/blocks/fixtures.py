"""The fixture a part is screwed to: a plate with a riser under the joint face, drilled for the screws that hold."""

from dataclasses import dataclass

import numpy as np
import shapely
from manifold3d import Manifold

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, Vec3, frame_from_normal
from tractwright.kernel.checked import cut, fused
from tractwright.kernel.solid import Solid
from tractwright.make.face_features import FIXTURE_SCREWS, fixture_pair_of
from tractwright.make.feature import Face
from tractwright.make.records import Setup
from tractwright.packet.blocks.features import in_joint
from tractwright.shape.parts.bodies import prism, turned
from tractwright.standards.holes import clearance_mm
from tractwright.standards.threads import thread

PLATE_MM, MARGIN_MM = 25.0, 40.0
"""The plate's thickness, and how far it stands out round the riser for its clamps. Source: shop_judgement."""
_SUNK_MM, _PAST_MM, _UNDER_MM, _FINE_MM = 1.0, 2.0, 1.0, 0.05


@dataclass(frozen=True, slots=True)
class _Screwed:
    """Where screws hold, and the holes for them: from below right through, or tapped into the riser."""

    places: tuple[Vec3, ...]
    bore_mm: float
    deep_mm: float


def fixture_of(piece: Manifold, setup: Setup, faces: tuple[Face, ...], riser_mm: float) -> Solid | None:
    """The plate with its riser in the job frame, under a piece as it lies in a set-up; None where no screws hold it.

    Raises KernelError.
    """
    found = next(((face, held) for face in faces if (held := _screwed(setup, face, riser_mm)) is not None), None)
    if found is None:
        return None
    face, held = found
    frame = frame_from_normal(face.at_mm, setup.floor, np.eye(3)[int(np.argmin(np.abs(setup.floor)))])
    ground = _ground(piece, frame)
    riser = prism(_contour(ground), frame, -riser_mm - _SUNK_MM)
    low = frame.moved((0.0, 0.0, -riser_mm))
    plate = prism(_contour(shapely.box(*ground.buffer(MARGIN_MM).bounds)), low, -PLATE_MM)
    body = fused(plate, [riser], f"the fixture of {setup.name}")
    profile: Contour = (
        (0.0, -held.deep_mm, 0.0),
        (held.bore_mm / 2.0, -held.deep_mm, 0.0),
        (held.bore_mm / 2.0, _PAST_MM, 0.0),
        (0.0, _PAST_MM, 0.0),
    )
    holes = [turned(profile, frame.moved(_in(frame, place))) for place in held.places]
    return cut(body, holes, f"the screws of the fixture of {setup.name}").solid


def _screwed(setup: Setup, face: Face, riser_mm: float) -> _Screwed | None:
    """By what the set-up needs of the face it rests on."""
    if f"{face.name} roughed" not in setup.needs:
        return None
    through = riser_mm + PLATE_MM + _PAST_MM
    pair = fixture_pair_of(face) if face.passing else None
    if f"{face.name} fixture threads" in setup.needs and pair is not None:
        places = tuple(in_joint(screw) for screw in face.passing[:FIXTURE_SCREWS])
        return _Screwed(places, clearance_mm(pair.fixture), through)
    if f"{face.name} threads" in setup.needs and face.tapped:
        return _Screwed(tuple(map(in_joint, face.tapped)), clearance_mm(face.tapped[0].thread), through)
    if f"{face.name} screw holes" in setup.needs and face.passing:
        held = thread(face.passing[0].thread)
        return _Screwed(tuple(map(in_joint, face.passing)), held.tap_drill_mm, 3.0 * held.major_mm)
    return None


def _ground(piece: Manifold, frame: Frame) -> shapely.Polygon:
    """What of the piece bears on the riser, its openings filled; all round it where that is in several parts."""
    turned_back = np.column_stack([frame.matrix(), -frame.matrix() @ np.array(frame.origin_mm)])
    seen = piece.transform(np.ascontiguousarray(turned_back))
    rings = [shapely.Polygon(np.asarray(ring)) for ring in seen.slice(_UNDER_MM).to_polygons()]
    whole = shapely.union_all([ring.buffer(0.0) for ring in rings if ring.exterior.is_ccw])
    filled = shapely.union_all([shapely.Polygon(part.exterior) for part in shapely.get_parts(whole)]).simplify(_FINE_MM)
    if filled.is_empty:
        raise KernelError("a fixture", "nothing of the piece lies on it")
    return shapely.Polygon(shapely.get_exterior_ring(filled if filled.geom_type == "Polygon" else filled.convex_hull))


def _contour(polygon: shapely.Polygon) -> Contour:
    points = shapely.get_coordinates(shapely.geometry.polygon.orient(polygon).exterior)[:-1]
    return tuple((float(x), float(y), 0.0) for x, y in points)


def _in(frame: Frame, place: Vec3) -> tuple[float, float, float]:
    x, y, _ = frame.to_local(place)
    return (float(x), float(y), 0.0)
